"""Every definition and constant of the physics, private ones too, is one that a study can call."""

from pathlib import Path

from call_graph import Reach, modules, study_starts

import retrofit_lab

PACKAGE = modules(Path(retrofit_lab.__file__).parent)


def from_study() -> set[tuple[str, str]]:
    """What `Study` and its methods reach."""
    return Reach(PACKAGE, study_starts(PACKAGE)).found


def unreached(room: str) -> list[str]:
    """Definitions of a room that no study reaches."""
    found = from_study()
    return [
        f"{where}:{name}"
        for where, module in PACKAGE.items()
        if where.startswith(f"retrofit_lab.{room}")
        for name in (*module.definitions, *module.constants)
        if (where, name) not in found
    ]


def test_every_definition_of_the_physics_is_reached_from_a_study() -> None:
    left = unreached("physics")
    assert not left, "\n".join(left)


def test_names_in_lists_and_docstrings_do_not_count(tmp_path: Path) -> None:
    room = tmp_path / "lab"
    room.mkdir()
    (room / "study.py").write_text(
        '"""other"""\nfrom lab.work import called, handed, listed, Line\nALL = [listed]\n'
        'class Study:\n    """listed()"""\n    def run(self) -> "annotated":\n'
        "        return map(handed, ALL), called(), Line().slope\n"
    )
    (room / "work.py").write_text(
        "def called(): return _private()\ndef _private(): return LIMIT\nLIMIT = at_import()\n"
        "def at_import(): return 1\ndef handed(x): return x\ndef listed(): return 2\n"
        "def annotated(): return 3\n"
        "class Line:\n    def slope(self): return 1\n    def unused(self): return 2\n"
    )
    package = modules(room)
    found = Reach(package, [("lab.study", "Study"), ("lab.study", "Study.run")]).found
    names = {name for where, name in found if where == "lab.work"}
    assert names == {"called", "_private", "LIMIT", "at_import", "handed", "Line", "Line.slope"}


if __name__ == "__main__":
    print("\n".join(unreached("physics")))
