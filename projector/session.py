"""The live state: command(snapshot) -> snapshot or refusal; no files, no screen."""
