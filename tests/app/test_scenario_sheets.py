"""Sheets and files of a scenario: complete, self-contained, escaped, read by the program, and marked."""

import re
from dataclasses import replace
from html import unescape
from pathlib import Path

import pytest

from retrofit_lab.app.lesson.command import answers_csv, mark_lines, read_answers, write_scenario
from retrofit_lab.app.lesson.sheets import seen_lines, students_sheet, trainer_key
from retrofit_lab.app.lesson.wording import with_minus
from retrofit_lab.bills.reading.bill_files import read_bills
from retrofit_lab.classroom.marking import mark
from retrofit_lab.classroom.scenario import ScenarioError, scenario
from retrofit_lab.classroom.scenario_questions import questions_of
from retrofit_lab.classroom.scenario_texts import ScenarioTexts
from retrofit_lab.classroom.sheet_codes import sheet_code, sheet_of_code
from retrofit_lab.command import main
from retrofit_lab.house.file import load_house
from retrofit_lab.texts import sentences

MADE, ENGLISH, SPANISH = scenario(7, 3), ScenarioTexts(), ScenarioTexts("es", "si")


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    path = tmp_path_factory.mktemp("scenario")
    assert main(["scenario", "--seed", "7", "--level", "3", "--out", str(path)]) == 0
    return path


def test_students_see_the_questions_and_not_the_answers() -> None:
    sheet = students_sheet(MADE)
    for asked in questions_of(MADE):
        assert asked.question.text in sheet.replace("&#39;", "'")
        assert not any(line in sheet for line in asked.way)
    for item in MADE.hidden:
        assert ENGLISH.fault(item.fault, "fix") not in sheet
    assert "had this idea" not in sheet
    for seen in seen_lines(MADE, ENGLISH):
        assert seen in sheet.replace("&#39;", "'")


def test_trainer_sees_every_fault_answer_and_wrong_idea() -> None:
    key = trainer_key(MADE).replace("&#39;", "'")
    for item in MADE.hidden:
        assert ENGLISH.fault(item.fault, "title") in key
        assert ENGLISH.fault(item.fault, "fix") in key
    for asked in questions_of(MADE):
        for line in asked.way:
            assert with_minus(line) in key
        for slip in getattr(asked.question, "slips", ()):
            assert slip.idea in key
    assert "retrofit-lab scenario --seed 7 --level 3" in key


def test_sheet_and_key_find_each_other_without_telling_the_seed() -> None:
    sheet, key = students_sheet(MADE), trainer_key(MADE)
    (code,) = re.findall(r"Sheet ([0-9A-F]{6})\.", sheet)
    assert f"Key to sheet {code}." in key
    assert "seed" not in sheet
    assert "level" not in sheet


@pytest.mark.parametrize("render", [students_sheet, trainer_key])
def test_sheets_stand_alone_and_escape_what_they_are_given(render) -> None:
    attack = '<script>alert("x")</script>'
    sheet = render(replace(MADE, first=replace(MADE.first, name=attack, foundation=attack)))
    assert "<script" not in sheet
    assert "&lt;script&gt;" in sheet
    assert not re.search(r"(src|href)=\"(?!data:)", sheet)
    assert "@import" not in sheet
    assert "url(" not in sheet


def test_files_are_read_by_the_program(folder: Path) -> None:
    house = load_house(folder / "house.toml")
    assert house.name == MADE.name
    assert float(house.leakage.flow) == pytest.approx(float(MADE.true.leakage.flow))
    bills = read_bills(folder / "bills.csv")
    for fuel in MADE.bills.fuels:
        assert [b.quantity for b in bills.usable(fuel)] == [
            b.quantity for b in MADE.bills.usable(fuel)
        ]
    assert main(["check", str(folder / "house.toml")]) == 0


def test_same_seed_writes_the_same_files(folder: Path, tmp_path: Path) -> None:
    for path in write_scenario(scenario(7, 3), tmp_path, ENGLISH):
        assert path.read_bytes() == (folder / path.name).read_bytes()


def test_answers_are_marked(folder: Path, tmp_path: Path, capsys) -> None:
    path = tmp_path / "answers.csv"
    questions = {asked.question.key: asked.question for asked in questions_of(MADE)}
    rows = (folder / "answers.csv").read_text().splitlines()
    (code,) = re.findall(r"Sheet ([0-9A-F]{6})\.", students_sheet(MADE))
    assert rows == ["question,answer", f"sheet,{code}", *(f"{key}," for key in questions)]
    wrong_idea = questions["1"].slips[0]
    letters = " ".join(sorted(questions["4"].right))
    path.write_text(
        f"question,answer\nsheet,{code}\n1,{wrong_idea.value:.5f}\n4,{letters}\nx,=1+1\n",
        encoding="utf-8",
    )
    assert main(["scenario", "--seed", "7", "--level", "3", "--mark", str(path)]) == 0
    said = capsys.readouterr().out
    assert f"question 1: {wrong_idea.idea} (1 of 2 points)" in said
    assert "question 4: That is right. (6 of 6 points)" in said
    assert "together: 7 of 18 points" in said


@pytest.mark.parametrize(
    ("content", "words"),
    [(b"", "first row must be"), (b"name,answer\nx,1\n", "first row must be"), (b"\xff\xfe\x00", "cannot be read"), (b"q" * 200_000, "larger than")],
)  # fmt: skip
def test_unreadable_answers_are_said(tmp_path: Path, content: bytes, words: str) -> None:
    path = tmp_path / "a.csv"
    path.write_bytes(content)
    with pytest.raises(ScenarioError, match=f"a.csv: .*{words}"):
        list(mark_lines(path, 7, 3))
    with pytest.raises(ScenarioError, match="no such file"):
        list(mark_lines(tmp_path / "b.csv", 7, 3))


def answered(path: Path, code: str, **answers: str) -> None:
    rows = [f"{key.removeprefix('q')},{value}" for key, value in answers.items()]
    path.write_text("\n".join(["question,answer", f"sheet,{code}", *rows]), encoding="utf-8")


def test_part_of_a_point_is_told_to_a_tenth(tmp_path: Path, capsys) -> None:
    """One fault of two found, and a wrong one with it, earns thirds of a point."""
    asked = {asked.question.key: asked.question for asked in questions_of(scenario(7, 2))}["4"]
    wrong = min(asked.options.keys() - asked.right)
    path = tmp_path / "answers.csv"
    answered(path, sheet_code(7, 2), q4=f"{min(asked.right)} {wrong}")
    assert main(["scenario", "--mark", str(path)]) == 0
    assert "(1.3 of 4 points)" in capsys.readouterr().out


def test_a_class_is_marked_by_question_and_by_wrong_idea(tmp_path: Path, capsys) -> None:
    """Sheets are known by their code, so that no seed is typed, and none is marked by another's key."""
    questions = {asked.question.key: asked.question for asked in questions_of(MADE)}
    code, slip = sheet_code(7, 3), questions["1"].slips[0]
    wrong = min(questions["4"].options.keys() - questions["4"].right)
    right = "".join(sorted(questions["4"].right))
    answered(tmp_path / "ana.csv", code, q1=f"{questions['1'].answer:.4g}", q4=right)
    answered(tmp_path / "ben.csv", code.lower(), q1=f"{slip.value:.6g}", q4=wrong)
    answered(tmp_path / "cy.csv", code, q1=f"{slip.value:.6g}")
    answered(tmp_path / "dee.csv", "ABCDEF", q1="1")
    (tmp_path / "notes.txt").write_text("x")
    assert main(["scenario", "--mark", str(tmp_path)]) == 0
    said = capsys.readouterr().out.splitlines()
    assert [line.split(":")[0] for line in said[:3]] == ["ana.csv", "ben.csv", "cy.csv"]
    assert said[0].startswith("ana.csv: 8 of ")
    assert said[3].startswith("not marked: dee.csv: the row 'sheet'")
    assert "  question 1: 1 of 3 right, 67 percent of the points" in said
    assert f"  2 in question 1: {slip.idea}" in said
    assert f'  1 in question 4: chose "{questions["4"].options[wrong]}"' in said


def test_sheet_of_another_house_is_not_marked_by_this_ones_key(tmp_path: Path, capsys) -> None:
    answered(tmp_path / "a.csv", sheet_code(9, 2), q1="1")
    assert main(["scenario", "--mark", str(tmp_path / "a.csv"), "--seed", "7"]) == 2
    assert f"sheet {sheet_code(9, 2)} is that of seed 9 and level 2" in capsys.readouterr().err
    assert sheet_of_code(sheet_code(9999, 1)) == (9999, 1)
    assert main(["scenario", "--mark", str(tmp_path / "empty"), "--seed", "7"]) == 2
    assert main(["scenario", "--out", str(tmp_path)]) == 2
    assert "Add --seed" in capsys.readouterr().err


def test_bad_arguments_end_with_a_sentence(capsys, tmp_path: Path) -> None:
    assert main(["scenario", "--seed", "1", "--level", "8", "--out", str(tmp_path)]) == 2
    assert "there is no level 8" in capsys.readouterr().err
    assert main(["serve", "--lesson", "99", "--no-browser"]) == 2
    assert "there is no lesson 9" in capsys.readouterr().err


def test_scenario_of_an_address_is_marked_by_its_sheet(tmp_path: Path, capsys) -> None:
    assert main(["scenario", "--seed", "7", "--level", "1", "--place", "Duluth, MN", "--out", str(tmp_path)]) == 0  # fmt: skip
    sheet = (tmp_path / "students.html").read_text(encoding="utf-8")
    assert "Duluth" in sheet
    code = sheet_code(7, 1, "Duluth, MN")
    assert code in sheet
    assert sheet_of_code(code) == (7, 1)
    assert read_answers(tmp_path / "answers.csv")["sheet"] == code
    capsys.readouterr()
    assert main(["scenario", "--mark", str(tmp_path / "answers.csv")]) == 0
    assert "together: 0 of" in capsys.readouterr().out
    assert main(["scenario", "--seed", "7", "--place", "Nowhere, ZZ", "--out", str(tmp_path)]) == 2


def sentences_in(catalog_of: ScenarioTexts) -> set[str]:
    """Sentences of a catalog that have no blank, so that they stand on a sheet as they are."""
    found = {text for _, text in sentences(catalog_of.catalog)}
    return {text for text in found if len(text) > 12 and "{" not in text}


@pytest.mark.parametrize("render", [students_sheet, trainer_key])
def test_spanish_sheet_holds_no_english(render) -> None:
    sheet = unescape(render(MADE, SPANISH))
    assert '<html lang="es">' in sheet
    assert {text for text in sentences_in(ENGLISH) if text in sheet} == set()
    assert len([text for text in sentences_in(SPANISH) if text in sheet]) > 15
    assert not re.search(
        r"°F|\bcfm\b|(?<!\w)R-\d|\bft\b|galones|pies", sheet.replace("120 °F (49 °C)", "")
    )


def test_numbers_in_si_are_the_same_house() -> None:
    """What a pencil makes of the numbers of the one sheet is what it makes of the other's, by factors of its own."""
    us, si = ({a.question.key: a for a in questions_of(MADE, told)} for told in (ENGLISH, SPANISH))
    flow, volume, _ = (float(value.split()[0].replace(",", "")) for _, value in si["1"].given)
    assert flow * 3.6 / volume == pytest.approx(us["1"].question.answer, rel=5e-3)
    assert si["2"].question.answer == pytest.approx(us["2"].question.answer / 5.678, rel=1e-3)
    assert MADE.bills.fuels[-1] == "propane"
    assert si["3"].question.answer == pytest.approx(
        us["3"].question.answer * 91452 / 3412, rel=1e-3
    )
    assert si["5"].question.answer == us["5"].question.answer
    for key in ("1", "2", "3", "5"):
        result = si[key].way[-1].rpartition(" = ")[2].split()[0]
        assert mark(si[key].question, result, "es").sentence == "Correcto."
        assert [slip.value for slip in si[key].question.slips] != []


def test_spanish_answers_are_marked_in_spanish_and_in_the_units_of_their_sheet(
    tmp_path: Path, capsys
) -> None:
    blank = answers_csv(MADE, SPANISH).splitlines()
    assert blank[:2] == ["pregunta,respuesta", f"hoja,{sheet_code(7, 3)}-SI"]
    asked = {one.question.key: one.question for one in questions_of(MADE, SPANISH)}
    wrong = min(asked["4"].options.keys() - asked["4"].right)
    rows = [
        *blank[:2],
        f"1,{asked['1'].slips[0].value:.5g}",
        f"2,{asked['2'].answer:.3g}",
        f"4,{wrong}",
    ]
    (tmp_path / "ana.csv").write_text("\n".join(rows), encoding="utf-8")
    assert main(["scenario", "--mark", str(tmp_path), "--language", "es"]) == 0
    said = capsys.readouterr().out.splitlines()
    assert said[0] == "ana.csv: 3 de 18 puntos"
    assert "  pregunta 2: 1 de 1 correctas, 100 por ciento de los puntos" in said
    assert f"  1 en la pregunta 1: {asked['1'].slips[0].idea}" in said
    assert f"  1 en la pregunta 4: eligió “{asked['4'].options[wrong]}”" in said


def test_answers_may_be_parted_by_semicolons(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    path.write_text("question;answer\n1;6,04\n2;A, C\n", encoding="utf-8")
    assert read_answers(path) == {"1": "6,04", "2": "A, C"}
