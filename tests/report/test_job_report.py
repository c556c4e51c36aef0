"""The report of a job in one step: its plan, names, bids and what came after, out of its folder and back into the record."""

import csv
import io
import re
import zipfile
from pathlib import Path

import pytest
from examples import example
from reported import content_of
from test_bills_and_after import write_bills

from retrofit_lab.app.report import files
from retrofit_lab.app.report.files import packed_report
from retrofit_lab.app.report.tables import csv_text, trade_sheets
from retrofit_lab.app.shared.pdf import PrintError
from retrofit_lab.app.shared.words import words
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.command import main
from retrofit_lab.house.finished_jobs import finished_jobs
from retrofit_lab.proposals.contractors import scopes

WREN = data_path("houses", "wren_cottage.toml")
PLAN = ("wall_fill", "attic_insulation")
JOB = """
[job]
client = "Maya <Ortiz>"
address = "12 Wren Lane, Greensboro"
date = "2026-03-02"
rater = "Lou Field"
credential = "rater no. 7"
contact = "555-0147"
plan = ["wall_fill", "attic_insulation"]
"""


def filled(bidder: str) -> str:
    """The page of the insulation crew with prices typed into it."""
    content = content_of("wren_cottage")
    pages = scopes(example("wren_cottage"), content.proposal.steps, content.result.cautions)
    sheet = next(t for t in trade_sheets(content, pages, words("en")) if t.name == "insulation")
    rows = list(csv.reader(io.StringIO(csv_text(sheet))))
    rows[0][1] = bidder
    for row in rows[2:]:
        row[-1] = "4,321" if row[0] in PLAN else ""
    out = io.StringIO(newline="")
    csv.writer(out).writerows(rows)
    return out.getvalue()


@pytest.fixture(scope="module")
def job(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A job that was agreed on, bid, done and checked, with its report made."""
    folder = tmp_path_factory.mktemp("jobs") / "wren"
    (folder / "bids").mkdir(parents=True)
    (folder / "report" / "trades").mkdir(parents=True)
    text = WREN.read_text(encoding="utf-8").replace("note =", 'bills = "bills.csv"\nnote =', 1)
    (folder / "house.toml").write_text(text + JOB, encoding="utf-8")
    (folder / "bids" / "ann.csv").write_text(filled("Ann"), encoding="utf-8")
    (folder / "report" / "trades" / "insulation.csv").write_bytes(filled("Bob").encode())
    (folder / "after.toml").write_text('leakage = "2400 cfm at 42 Pa"\n', encoding="utf-8")
    write_bills(folder / "bills.csv", 0.4, 0.2, noise=0.02)
    write_bills(folder / "bills_after.csv", 0.4, 0.16, noise=0.02)
    assert main(["report", "--no-page", str(folder)]) == 0
    return folder


@pytest.fixture(scope="module")
def page(job: Path) -> str:
    return (job / "report" / "report.html").read_text(encoding="utf-8")


def test_names_and_the_agreed_plan_stand_in_the_report(page: str) -> None:
    assert "For Maya &lt;Ortiz&gt;, 12 Wren Lane, Greensboro" in page
    assert "Visit on March 2, 2026. Your rater: Lou Field, rater no. 7, 555-0147" in page
    assert "Your plan has 2 steps" in page


def test_bids_and_the_reading_after_the_work_come_out_of_the_folder(page: str) -> None:
    bids = page.split('id="bids"')[1].split("</section>", maxsplit=1)[0]
    assert "Ann" in bids
    whole = bids.split("Total")[1].split("</tr>", maxsplit=1)[0]
    fan = bids.split("ventilator")[1].split("</tr>", maxsplit=1)[0]
    assert "$8,642" not in whole  # the fan that the house needs comes on top, at the estimate
    total, open_line = (
        int(re.findall(r"\$([\d,]+)", text)[-1].replace(",", "")) for text in (whole, fan)
    )
    assert total == 2 * 4321 + open_line
    assert "Bob" not in bids
    assert "Measured after the work: 2,693 cfm." in page


def test_what_came_goes_into_the_record_beside_the_jobs(job: Path) -> None:
    (found,) = finished_jobs(job.parent / "finished_jobs.csv")
    assert found.job == "wren"
    assert 0.0 < found.came < found.worked_out
    assert found.error > 0.0


def test_a_page_with_prices_is_left_alone_and_the_others_are_there(job: Path) -> None:
    folder = job / "report" / "trades"
    assert (folder / "insulation.csv").read_bytes() == filled("Bob").encode()
    assert {path.name for path in folder.iterdir()} == {
        f"{trade}.{kind}" for trade in ("insulation", "heating") for kind in ("csv", "html", "xlsx")
    }


def at_home(*asked: object) -> tuple[str, str]:
    return "plan_at_home.html", f"<p>{asked[1:]}</p>"


def test_a_page_of_the_kernel_gets_the_same_files_in_one(monkeypatch) -> None:
    monkeypatch.setattr(files, "pdf_of", lambda html: b"%PDF-" + html[:15].encode())
    packed, printed = packed_report(example("wren_cottage"), WREN, PLAN, words("es", "si"), at_home)
    assert printed
    with zipfile.ZipFile(io.BytesIO(packed)) as found:
        assert {"report.html", "tables.xlsx", "trades/insulation.xlsx", "report.pdf",
                "trades/insulation.pdf", "plan_at_home.html"} <= set(found.namelist())  # fmt: skip
        assert found.read("report.pdf") == b"%PDF-<!doctype html>"
        assert all(key in found.read("plan_at_home.html").decode() for key in PLAN)
        assert 'href="plan_at_home.html"' in found.read("report.html").decode("utf-8")
        assert 'lang="es"' in found.read("report.html").decode("utf-8")


def test_without_a_browser_the_files_come_without_a_pdf(monkeypatch) -> None:
    def none(_: str) -> bytes:
        raise PrintError("no browser")

    monkeypatch.setattr(files, "pdf_of", none)
    packed, printed = packed_report(example("wren_cottage"), WREN, PLAN, words("en"))
    assert not printed
    with zipfile.ZipFile(io.BytesIO(packed)) as found:
        assert "report.html" in found.namelist()
        assert not [name for name in found.namelist() if name.endswith(".pdf")]
