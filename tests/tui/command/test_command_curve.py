"""``pelmet curve``: a measured distribution becomes a diffuser that a catalogue takes as it is."""

import tomllib
from math import cos, radians, sin
from pathlib import Path

import pytest
from jobs import one_bar
from photometric_writers import eulumdat, lambert, leaning, lm63
from raw_light import lux_of

from pelmet.model.file.job.reading import load_catalogue
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job
from pelmet.tui.command import main as command

Capture = pytest.CaptureFixture[str]
ALLOWANCES = {"thermal_percent": 100, "maintenance_percent": 100}
COARSE = tuple(range(0, 181, 15))


def written(path: Path, text: str) -> str:
    path.write_bytes(text.encode("latin-1"))
    return str(path)


def printed(capsys: Capture, *arguments: str) -> tuple[str, str]:
    assert command.main(["curve", *arguments]) == 0
    return capsys.readouterr()


def curve_of(text: str) -> list[float]:
    (diffuser,) = tomllib.loads(text)["diffuser"]
    curve = diffuser["curve"]
    assert isinstance(curve, list)
    return curve


def planned(diffuser: str, path: Path | None = None) -> Plan:
    """Plan the one bar with nothing off the wall; the printed 70 % is that of the opal cover."""
    job = one_bar(
        K={"splashback_percent": 0},
        A1={"lip": 0},
        R1={"diffuser": diffuser},
        allowances=ALLOWANCES,
    )
    return plan_job(job, load_catalogue(path) if path else None)


@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("name", "text", "step"),
    [
        ("bar.ies", lm63(lambert), 5),
        ("bar.ldt", eulumdat(lambert), 5),
        ("bar.ies", lm63(lambert, gammas=COARSE), 15),
        ("bar.ldt", eulumdat(lambert, gammas=COARSE), 15),
    ],
)
def test_a_catalogue_takes_what_is_printed_and_lamberts_file_gives_lamberts_lux(
    name, text, step, tmp_path, capsys
):
    told = printed(capsys, written(tmp_path / name, text))[0]
    assert len(curve_of(told)) == 180 // step + 1
    own = tmp_path / "catalogue.toml"
    own.write_text(told, "ascii")
    (found,), (exact,) = (planned("measured", own).lights, planned("opal-17").lights)
    # Chords of a cosine: see test_light_curves. Two decimals add 0.005 of 50 % and more.
    assert found.lux == pytest.approx(exact.lux, rel=radians(step) ** 2 / 12 * 1.02 + 2e-4)


@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("name", "text"),
    [("bar.ies", lm63(leaning(along=0))), ("bar.ldt", eulumdat(leaning(along=270)))],
)
def test_a_leaning_file_leans_to_the_room_as_scipys_integral_of_its_law_does(
    name, text, tmp_path, capsys
):
    own = tmp_path / "catalogue.toml"
    own.write_text(printed(capsys, written(tmp_path / name, text))[0], "ascii")
    plan = planned("measured", own)
    (found,) = plan.lights

    def law(psi: float) -> float:
        return max(cos(psi), 0.0) * (1 + 0.6 * sin(psi))

    # The file's steps and those of the curve are of 5 degrees: h2/8 of them is 0.1 %.
    assert found.lux == pytest.approx(lux_of(plan, law), rel=1.5e-3)


def test_the_half_plane_that_is_turned_to_the_room_can_be_chosen(tmp_path, capsys):
    path = written(tmp_path / "bar.ies", lm63(leaning(along=0)))
    usual, words = printed(capsys, path)
    curve = curve_of(usual)
    assert len(curve) == 37
    assert max(curve) == 100
    assert curve[30] > curve[6]  # 60 degrees on its room side, and on its wall side
    assert "C90 is turned to the room" in words
    assert curve_of(printed(capsys, path, "--room-side", "90")[0]) == curve
    assert curve_of(printed(capsys, path, "--room-side", "270")[0]) == curve[::-1]
    along = curve_of(printed(capsys, path, "--room-side", "0")[0])
    assert along == along[::-1]
    turned = written(tmp_path / "turned.ies", lm63(leaning(along=90), size=(1.0, 0.016, 0.0)))
    told, words = printed(capsys, turned, "--room-side", "180")
    assert curve_of(told) == pytest.approx(curve, abs=0.011)


def test_what_was_read_is_told_in_words_beside_the_data(tmp_path, capsys):
    told, words = printed(capsys, written(tmp_path / "bar.ldt", eulumdat(lambert)))
    assert not words.startswith("[[")
    assert "EULUMDAT: invented bar" in words
    # 1000 lm, less what straight lines between 5 degree steps miss.
    assert "999.4 lm from 1000 mm, 0.0 % of it behind the face: 999.4 lm/m" in words
    assert "elsewhere" in words
    assert "check:" not in words
    assert 'name = "invented bar"' in told
    assert told.isascii()


def test_a_length_of_ones_own_counts(tmp_path, capsys):
    path = written(tmp_path / "bar.ies", lm63(lambert, size=(0.0, 0.0, 0.0)))
    assert command.main(["curve", path]) == 2
    assert "say how long the piece was" in capsys.readouterr().err
    words = printed(capsys, path, "--length", "500")[1]
    assert "from 500 mm" in words
    assert "1999 lm/m" in words


def test_what_looks_odd_is_pointed_at(tmp_path, capsys):
    path = written(tmp_path / "bar.ies", lm63(lambert, size=(1.0, 0.016, 0.0)))
    assert "check: its lit area is 1 m across the line" in printed(capsys, path)[1]


def test_a_name_of_any_letters_stays_what_it_was(tmp_path, capsys):
    head = ("IES:LM-63-2019", '[LUMINAIRE] "Étoile" \\ 2', "TILT=NONE")
    told = printed(capsys, written(tmp_path / "bar.ies", lm63(lambert, head=head)))[0]
    assert told.isascii()
    assert tomllib.loads(told)["diffuser"][0]["name"] == '"Étoile" \\ 2'


def refused(capsys: Capture, *arguments: str) -> str:
    assert command.main(["curve", *arguments]) == 2
    told = capsys.readouterr()
    assert not told.out
    return told.err


def test_a_broken_file_is_refused_with_its_line_and_words(tmp_path, capsys):
    good = lm63(lambert)
    broken = written(tmp_path / "broken.ies", good.replace("318.309886184", "318.3O9", 1))
    line = next(at for at, row in enumerate(good.splitlines(), 1) if "318.309886184" in row)
    assert f"broken.ies:{line}: " in refused(capsys, broken)
    assert "neither LM-63" in refused(capsys, written(tmp_path / "job.toml", "schema = 1\na\nb\n"))
    assert "no such file" in refused(capsys, str(tmp_path / "none.ies"))
    assert "folder" in refused(capsys, str(tmp_path))
    assert '"-" is not a file' in refused(capsys, "-")


@pytest.mark.parametrize("length", ["0", "-5", "nan", "inf"])
def test_a_length_that_cannot_be_is_refused(length, tmp_path, capsys):
    path = written(tmp_path / "bar.ies", lm63(lambert))
    assert "--length" in refused(capsys, path, f"--length={length}")


@pytest.mark.parametrize("wrong", [["--room-side", "45"], ["--length", "long"], ["--turned"], []])
def test_wrong_usage_ends_with_2(wrong, tmp_path, capsys):
    path = written(tmp_path / "bar.ies", lm63(lambert))
    assert "usage: pelmet curve" in refused(capsys, *([path, *wrong] if wrong else []))


def test_light_only_between_the_angles_that_are_kept_is_refused(tmp_path, capsys):
    def needle(plane: float, gamma: float) -> float:
        return 1000.0 if gamma == 42 else 0.0

    gammas = tuple(range(0, 181, 2))
    path = written(tmp_path / "needle.ies", lm63(needle, gammas=gammas))
    assert "between the angles" in refused(capsys, path)
