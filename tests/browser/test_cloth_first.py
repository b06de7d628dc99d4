"""The lining cut, tacked and fitted before the dress cloth, chosen on the phone: one order, one lay, the lining's steps first."""

from pathlib import Path

import pytest

from tests.browser.phone import opened
from tests.projector.made_up import table
from tests.served import served

pytestmark = pytest.mark.browser


def test_the_lining_is_cut_first(tmp_path: Path) -> None:
    table("ready").write(tmp_path / "table.yaml")
    options = ("--table", str(tmp_path / "table.yaml"))
    with opened(tmp_path / "profile") as phone, served("sample", tmp_path / "book", *options) as program:
        phone.page.get(program.url)
        phone.until("#state", "READY")
        phone.wait(lambda: phone.state()["title"].startswith("dress cloth"))
        phone.go("cloth")
        phone.select("#first-cloth", "lining")
        assert phone.is_narrow()
        phone.tap("#to-table")
        phone.wait(lambda: phone.state()["title"].startswith("lining: press"))
        orders = phone.fetch("/book")["own"]["orders"]
        assert [phone.fetch(f"/book/orders/{name}")["data"]["first"] for name in orders] == ["lining"]
        assert phone.faults() == []
