"""The page's modules: their unit tests run in node where there is one; every word they say is in the catalog."""

import os
import re
import shutil
import subprocess
from pathlib import Path

import pytest

from retrofit_lab.app.shared.scripts import STATIC
from retrofit_lab.texts import catalog

OF_THE_PAGE = ("address", "house", "kept", "list", "page", "picture", "plan", "questions", "say")
OF_THE_WALK = (
    "place_box",
    "walk_agreed",
    "walk_ahead",
    "walk_house",
    "walk_kept",
    "walk_parts",
    "walk_picture",
    "walkthrough",
)
OF_THE_LESSON = ("class_view", "lesson", "lesson_parts", "lesson_steps")
AT_HOME = ("home", "home_answers", "home_numbers", "home_plans", "home_words")
UNIT_TESTS = Path(__file__).parents[1] / "js"
A_SENTENCE = re.compile(r"""["'`]([A-Z][a-z]+ [a-z]+[^"'`]*)["'`]""")


def script(name: str) -> str:
    return (STATIC / f"{name}.js").read_text(encoding="utf-8")


def test_modules_pass_their_unit_tests(tmp_path: Path) -> None:
    node = shutil.which("node")
    if node is None:
        reason = "no node here; the page needs none, only these tests"
        pytest.fail(reason) if os.environ.get("CI") else pytest.skip(reason)
    for path in (*STATIC.glob("*.js"), *UNIT_TESTS.glob("*.js")):
        shutil.copy(path, tmp_path)
    (tmp_path / "package.json").write_text('{"type": "module"}', encoding="utf-8")
    ran = subprocess.run(
        [node, "--test", *map(str, tmp_path.glob("*.test.js"))],
        capture_output=True, text=True, check=False, cwd=tmp_path,
    )  # fmt: skip
    assert ran.returncode == 0, ran.stdout[-4000:]
    assert re.search(r"# pass [1-9]", ran.stdout)


def test_every_word_that_the_scripts_say_is_in_the_catalog() -> None:
    texts = catalog("en", "page")["client"]
    said = {key for name in OF_THE_PAGE for key in re.findall(r'say\("(\w+)"', script(name))}
    assert said - set(texts) == set()
    built = {"language", "units"} | {key for key in texts if key.startswith(("lost_", "count_"))}
    named = {name for line in OF_THE_PAGE for name in re.findall(r'"(\w+)"', script(line))}
    assert set(texts) - said - built - named == set()


def test_the_form_says_what_is_in_its_catalog_and_nothing_else() -> None:
    texts = set(catalog("en", "walk")["client"])
    code = "".join(script(name) for name in OF_THE_WALK)
    said = set(re.findall(r'say\("(\w+)"', code))
    assert said - texts == set()
    named = set(re.findall(r'"(\w+)"', code))
    assert texts - said - named == set()


def test_a_lesson_says_what_is_in_its_catalog_and_nothing_else() -> None:
    texts = set(catalog("en", "lessons")["page"])
    code = "".join(script(name) for name in OF_THE_LESSON)
    assert set(re.findall(r'say\("(\w+)"', code)) - texts == set()
    named = set(re.findall(r'"(\w+)"', code)) | set(re.findall(r"texts\.(\w+)", code))
    of_python = {"title", "try", "heat_picture", "drawing", "now", "was", "table"}
    built = {key for key in texts if key.startswith("lost_")}
    assert texts - named - built - of_python == set()


@pytest.mark.parametrize("name", [*OF_THE_PAGE, *OF_THE_WALK, *OF_THE_LESSON, *AT_HOME])
def test_no_sentence_stands_in_a_script(name: str) -> None:
    code = re.sub(
        r"/\*\*.*?\*/",
        "",
        re.sub(r"^ *//.*", "", script(name), flags=re.MULTILINE),
        flags=re.DOTALL,
    )
    assert A_SENTENCE.findall(code) == []


@pytest.mark.parametrize("name", [*OF_THE_PAGE, *OF_THE_WALK, *OF_THE_LESSON, *AT_HOME])
def test_every_import_names_what_its_module_gives(name: str) -> None:
    for names, source in re.findall(
        r'^import \{\s*([^}]+?),?\s*\} from "\./(\w+)\.js";', script(name), re.MULTILINE
    ):
        given = set(
            re.findall(
                r"^export (?:async )?(?:function|const|class) (\w+)", script(source), re.MULTILINE
            )
        )
        assert {one.strip() for one in names.split(",")} <= given, source
