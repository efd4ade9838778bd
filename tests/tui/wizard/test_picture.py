"""The README's picture is what the wizard shows; ``--snapshot-update`` draws it anew."""

import re
from pathlib import Path

import pytest
from screens import on_example, settle

pytestmark = pytest.mark.snapshot

PICTURE = Path(__file__).parents[2] / "pictures" / "wizard.svg"


async def test_the_readmes_picture_shows_the_wizard_as_it_is(request):
    app = on_example()
    async with app.run_test(size=(120, 36)) as pilot:
        await settle(pilot)
        await pilot.press("f6", "pagedown")
        await settle(pilot)
        # The terminal's name in the picture is a random number; so is nothing else.
        drawn = re.sub(r"terminal-\d+", "terminal-wizard", app.export_screenshot(title="Pelmet"))
    drawn = "\n".join(line.rstrip() for line in drawn.splitlines()) + "\n"
    if request.config.getoption("--snapshot-update"):
        PICTURE.write_text(drawn, "utf-8")
    assert PICTURE.read_text("utf-8") == drawn
