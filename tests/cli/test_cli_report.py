"""``greenhouse-sim report``: one page, or one message."""

from __future__ import annotations

from pathlib import Path

import pytest

from asked import Ask


def test_it_writes_one_page_and_nothing_on_standard_output(ask: Ask, week: Path) -> None:
    out = week.parent / "deep" / "page.html"
    answer = ask("report", week, "--out", out, "--units", "si")
    assert (answer.status, answer.out) == (0, ""), answer.err
    assert f"Wrote {out} (" in answer.err
    text = out.read_text(encoding="utf-8")
    assert text.startswith("<!DOCTYPE html>") and text.rstrip().endswith("</html>")
    assert "One winter is told, and no share of winters" in text
    assert [one.name for one in out.parent.iterdir()] == ["page.html"]


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("page.pdf", "the page is HTML; name it page.html (for a PDF there is --pdf"),
        ("page", "name it page.html"),
        ("", "is a folder; name a file"),
        ("farm.toml/page.html", "is a file; name a folder"),
    ],
)
def test_a_page_that_cannot_be_written_is_refused_at_once(
    ask: Ask, farm: Path, name: str, said: str
) -> None:
    answer = ask("report", farm, "--out", farm.parent / name)
    assert answer.status == 2
    assert said in answer.err and answer.out == ""
    assert "Traceback" not in answer.err
    assert [one.name for one in farm.parent.iterdir()] == ["farm.toml"]


def test_a_baseline_that_is_not_there_is_told_before_any_winter_is_run(
    ask: Ask, week: Path
) -> None:
    with week.open("a", encoding="utf-8") as file:
        file.write('\n[money]\nbaseline = "ideal"\n')
    answer = ask("report", week, "--out", week.parent / "page.html")
    assert answer.status == 2
    assert "[money] baseline" in answer.err
    assert not (week.parent / "page.html").exists()
