"""An invented paper with every kind of block, and names that break careless writers."""

from typing import Final

from pelmet.model.told.paper import (
    Blanks,
    Cautions,
    Grid,
    Heading,
    Label,
    Labels,
    Paper,
    Picture,
    Points,
    Words,
)

FORMULA: Final = "=cmd|' /C calc'!A0"
SCRIPT: Final = "<script>alert(1)</script>"
HEBREW: Final = "ארון מעל הכיור 12"
ARABIC: Final = "خزانة فوق الحوض"
MARKUP: Final = (
    "#eval(1) $x$ *bold* _low_ @ref <lab> = \\n `raw` 'q' \"qq\" // no /* no */ ~ -- ..."
)
EMOJI: Final = "lamp 💡 café ½ 3\N{DOUBLE PRIME} Ω ≤"
LONG_WORD: Final = "Unterschrankbeleuchtung" * 13  # 299 letters without a place to break
LONG_NOTE: Final = ("The scribe on the left hides a pipe; cut it last. " * 7)[:300].strip()
CONTROL: Final = "bell\x07 escape\x1b[31m nul\x00 over\u202eride\u2066 end"
TYPED: Final = (
    FORMULA,
    SCRIPT,
    "a|b",
    'say "so"',
    HEBREW,
    ARABIC,
    MARKUP,
    EMOJI,
    LONG_WORD,
    LONG_NOTE,
)

_NAMES: Final = (*TYPED, CONTROL)

PLAIN: Final = Paper(
    name="cut-list",
    title="Cut list",
    reader="the bench",
    job="12 Mill Lane, kitchen",
    revision="3",
    blocks=(
        Cautions(
            (
                "R2-B1 is 2 mm shorter than its channel: cut the strip at unit 17, not at the end.",
                "File every cut end before the cap goes on; swarf under a strip shorts it.",
            )
        ),
        Heading("Channel"),
        Words("Cut from the longest bar first. All lengths are of the metal, caps not counted."),
        Grid(
            ("bar", "stock", "cut [mm]", "angle", "kerf [mm]", "under", "note"),
            tuple(
                (
                    f"R{1 + n // 4}-B{1 + n % 4}",
                    f"S{n // 3 + 1}",
                    f"{875 + 31 * n % 900}",
                    "square",
                    "3.0",
                    f"W{n + 1} W{n + 2}",
                    "scribe left" if n % 5 == 0 else "",
                )
                for n in range(34)
            ),
            numbers=frozenset({2, 4}),
            name="cuts",
            large=frozenset({0}),
        ),
        Heading("Where they go"),
        Picture(
            (
                "wall A" + " " * 40 + "corner",
                "|" + "-" * 50 + "|",
                "|  W1      |  W2      |  hood    |  W3     |  W4   |",
                "|  ======  |  ======  |          |  =====  |  ===  |",
            ),
            "wall A from the front; = is light",
        ),
        Heading("Signed off"),
        Points(("Every length read twice.", "Off-cuts over 300 mm labelled and kept.")),
        Blanks(("Cut by", "Date", "Longest off-cut [mm]")),
        Heading("Labels"),
        Labels(
            tuple(
                Label(f"R{1 + n // 4}-B{1 + n % 4}", (f"{875 + 31 * n} mm, square", "under W1 W2"))
                for n in range(7)
            )
        ),
    ),
)

NASTY: Final = Paper(
    name="mounting",
    title=f"Mounting {SCRIPT} {MARKUP}",
    reader=HEBREW,
    job=f"{FORMULA} {ARABIC}",
    revision='2 "b" <c>',
    blocks=(
        *(Heading(name) for name in _NAMES),
        *(Words(name) for name in _NAMES),
        Points(_NAMES),
        Cautions(_NAMES),
        Grid(
            ("id", "length [mm]", "name", "note"),
            tuple((f"B{n}", f"{n * 101.5}", name, name) for n, name in enumerate(_NAMES)),
            numbers=frozenset({1}),
            name="bars",
            large=frozenset({0}),
        ),
        Grid(tuple(f"c{n}" for n in range(11)), (_NAMES, _NAMES[::-1]), name="wide"),
        Picture((f"  +{'-' * 120}+", f"  | {MARKUP}", "", "  x   y"), MARKUP),
        Blanks(_NAMES),
        Labels(tuple(Label(name, (name, "second line")) for name in _NAMES)),
    ),
)
