"""What the checker says: which property is broken, where, and by how much."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Fault:
    """One broken property. `name`: P01 to P24, or a word for the contract's other promises (even, notch, fold ...)."""

    name: str
    where: str
    says: str

    def __str__(self) -> str:
        return f"{self.name} {self.where}: {self.says}"
