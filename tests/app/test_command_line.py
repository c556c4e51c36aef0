"""The command: what it prints, and that bad input ends with one sentence and code 2."""

import json
import re
from pathlib import Path

import pytest

from retrofit_lab.app.serve.capacity import Places
from retrofit_lab.app.serve.serving import (
    ServeOptions,
    check_options,
    free_port,
    server_settings,
)
from retrofit_lab.base.shipped_files import data_path
from retrofit_lab.base.values import InputError
from retrofit_lab.command import main

WREN = str(data_path("houses", "wren_cottage.toml"))


def test_savings_of_ticked_measures(capsys) -> None:
    assert main(["savings", WREN, "--plan", "attic_insulation,wall_fill"]) == 0
    out = capsys.readouterr().out
    assert "[x] attic_insulation" in out
    assert "the measures overlap by" in out
    assert main(["savings", WREN, "--plan", "attic_insulation,wall_fill", "--calculated"]) == 0
    whole = capsys.readouterr().out
    real, worked_out = (told_saving(text) for text in (out, whole))
    assert "in real houses" in out
    assert "in real houses" not in whole
    assert real[1] <= real[0] <= real[2]
    assert real[0] < worked_out[0]


def told_saving(text: str) -> tuple[float, ...]:
    """The saving that is told first, with its range."""
    amount = r"(-?\$[\d,]+)"
    found = re.search(rf"saves about {amount} .*cases {amount} to {amount}", text)
    assert found
    return tuple(float(re.sub("[$,]", "", number)) for number in found.groups())


def test_savings_at_own_prices(tmp_path: Path, capsys) -> None:
    prices = tmp_path / "mine.toml"
    prices.write_text(
        'format = "retrofit-lab prices"\nversion = 1\n'
        "[prices.attic_insulation]\nquote = 1234\nsource = 'an offer'\n",
        encoding="utf-8",
    )
    assert main(["savings", WREN, "--plan", "attic_insulation", "--prices", str(prices)]) == 0
    assert "cost   1234.00" in capsys.readouterr().out


def test_check_says_that_the_example_can_be_used(capsys) -> None:
    assert main(["check", WREN]) == 0
    said = capsys.readouterr().out
    assert "can be used; 1 unusual numbers" in said
    assert "In such a climate 8 in 10 houses use 21 to 76" in said


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["check", "nowhere.toml"], "nowhere.toml: there is no such file"),
        (["savings", WREN, "--plan", "magic"], "there is no measure 'magic'"),
        (["serve", "--port", "70000"], "the port is 70000; must be 0 to 65535"),
        (["serve", "--token-file", "nowhere.txt"], "token file nowhere.txt cannot be read"),
        (["savings", WREN, "--prices", "none.toml"], "none.toml: there is no such file"),
        (["serve", WREN, "--prices", "none.toml"], "none.toml: there is no such file"),
        (["serve", WREN, "--class", "0"], "give a number from 1 to 200"),
        (["serve", "nowhere.toml"], "there is no such file"),
    ],
)
def test_bad_input_ends_with_code_2_and_a_sentence(arguments, words, capsys) -> None:
    assert main(arguments) == 2
    error = capsys.readouterr().err
    assert words in error
    assert "Traceback" not in error


def test_unreadable_climate_names_itself(tmp_path: Path, capsys) -> None:
    text = Path(WREN).read_text(encoding="utf-8").replace("greensboro_nc", "atlantis")
    path = tmp_path / "w.toml"
    path.write_text(text, encoding="utf-8")
    assert main(["check", str(path)]) == 2
    assert "w.toml: site.climate: there is no climate 'atlantis'" in capsys.readouterr().err


def test_weather_of_a_zip_code_names_three_stations(capsys) -> None:
    assert main(["weather", "55401"]) == 0
    out = capsys.readouterr().out
    assert out.startswith("55401, weather of Minneapolis-St Paul international airport, MN\n")
    assert (
        "* Minneapolis-St Paul international airport, MN: 7 miles away, 4 ft lower, 7,730 heating"
        in out
    )
    assert out.count("(station ") == 3
    assert "3.5 °F for each 1,000 ft" in out
    assert 'climate = "55401 like 726575"' in out


def test_weather_of_a_town_and_of_an_old_site(capsys) -> None:
    assert main(["weather", "Portland,", "OR"]) == 0
    assert "3 stations: Portland international airport is used" in capsys.readouterr().out
    assert main(["weather", "greensboro_nc"]) == 0
    out = capsys.readouterr().out
    assert "3,880 heating and 1,310 cooling degree days" in out
    assert "(station" not in out


def test_weather_of_a_file_of_ones_own(tmp_path: Path, monkeypatch, capsys) -> None:
    monkeypatch.chdir(tmp_path)
    rows = [f"{month},{30 + 3 * month}" for month in range(1, 13)]
    (tmp_path / "mine.csv").write_text("\n".join(["month,mean", *rows]), encoding="utf-8")
    assert main(["weather", "mine.csv", "like", "55401"]) == 0
    out = capsys.readouterr().out
    assert "twelve monthly means" in out
    assert "(station" not in out


@pytest.mark.parametrize(
    ("place", "words"),
    [
        ("Springfield", "needs its state"),
        ("00901", "twelve monthly normals"),
        ("5540", "five digits"),
    ],
)
def test_weather_that_is_not_there_is_asked_for(place: str, words: str, capsys) -> None:
    assert main(["weather", place]) == 2
    assert words in capsys.readouterr().err


def test_check_tells_what_was_filled_in(tmp_path: Path, capsys) -> None:
    path = tmp_path / "w.toml"
    text = Path(WREN).read_text(encoding="utf-8")
    path.write_text(text.replace("greensboro_nc", "80435"), encoding="utf-8")
    assert main(["check", str(path)]) == 0
    assert "weather: 80435: weather of Leadville" in capsys.readouterr().out


def test_server_settings_shut_every_door() -> None:
    settings = server_settings(
        ServeOptions(house=Path(WREN), token="x" * 20), 4242, Places(most=3), "/own"
    )
    voila = settings["VoilaConfiguration"]
    assert voila["strip_sources"] is True
    assert voila["show_tracebacks"] is False
    assert voila["file_allowlist"] == []
    assert voila["allow_template_override"] == voila["allow_theme_override"] == "NO"
    assert settings["Voila"]["connection_dir_root"] == "/own"
    assert settings["Voila"]["ip"] == "127.0.0.1"
    assert settings["MappingKernelManager"]["cull_connected"] is False
    assert settings["MappingKernelManager"]["cull_idle_timeout"] > 0
    assert settings["PageKernels"] == {"most": 3, "ready": 0}
    assert settings["KernelRestarter"]["restart_limit"] == 0
    json.dumps(settings)


@pytest.mark.parametrize(("token", "any_name"), [("", False), ("x" * 20, True)])
def test_other_names_of_this_machine_only_with_a_token(token: str, any_name: bool) -> None:
    options = ServeOptions(house=Path(WREN), token=token)
    settings = server_settings(options, 4242, Places(most=3), "/own")
    assert settings["Voila"]["tornado_settings"]["allow_remote_access"] is any_name


def test_beyond_this_machine_only_with_a_token() -> None:
    with pytest.raises(InputError, match="token"):
        check_options(ServeOptions(house=Path(WREN), listen="0.0.0.0", token="short"))
    check_options(ServeOptions(house=Path(WREN), listen="0.0.0.0", token="x" * 20))


def test_free_port_can_be_used() -> None:
    assert 1024 < free_port("127.0.0.1") < 65536


@pytest.mark.parametrize("command", ["check", "savings"])
def test_what_was_read_of_the_bills_is_told_back(command, capsys) -> None:
    folder = Path(__file__).parent.parent / "data/bills"
    files = [f"--bills={folder / name}" for name in ("house_meter.csv", "barn_meter.csv")]
    assert main([command, WREN, *files]) == 0
    told = capsys.readouterr().out
    assert "house_meter.csv: read 12 electric bills, 5,466 kWh, 2024-01-04 to 2025-01-03" in told
    assert "Together: 12 electric bills, 9,110 kWh" in told


@pytest.mark.parametrize("command", ["check", "savings"])
def test_temperatures_of_days_without_bills_are_not_passed_over(command, tmp_path, capsys) -> None:
    days = tmp_path / "days.csv"
    days.write_text("date,mean\n2024-01-01,30\n2024-01-02,31\n")
    assert main([command, WREN, f"--weather={days}"]) == 2
    told = capsys.readouterr().err
    assert "days.csv" in told
    assert "Add --bills, or leave --weather out" in told


def test_what_cannot_be_told_is_refused_with_both_readings_until_it_is_answered(capsys) -> None:
    file = Path(__file__).parent.parent / "data/bills/undecidable_dates.csv"
    assert main(["check", WREN, f"--bills={file}"]) == 2
    problem = capsys.readouterr().err
    assert "2024-03-04 to 2024-11-12" in problem
    assert "2024-04-03 to 2024-12-11" in problem
    assert main(["check", WREN, f"--bills={file}", "--bill-answer", "dates=day-first"]) == 0
    assert "2024-04-03" in capsys.readouterr().out
    assert main(["check", WREN, f"--bills={file}", "--bill-answer", "dates"]) == 2
    assert "must be KEY=CHOICE" in capsys.readouterr().err


def test_token_file_that_is_no_text_and_an_address_of_nobody_are_told(
    tmp_path: Path, capsys
) -> None:
    token = tmp_path / "token"
    token.write_bytes(b"\xff\xfe\0token")
    assert main(["serve", WREN, "--no-browser", "--token-file", str(token)]) == 2
    assert "cannot be read" in capsys.readouterr().err
    token.write_bytes(b"\xef\xbb\xbf" + b"x" * 20)
    listen = ["--listen", "999.1.1.1", "--token-file", str(token)]
    assert main(["serve", WREN, "--no-browser", *listen]) == 2
    assert "999.1.1.1" in capsys.readouterr().err
