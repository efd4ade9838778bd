"""Each region is told in its own words: on paper, in findings, options and forms."""

import re
from collections.abc import Iterable, Iterator

import pytest
from draws import examples
from hypothesis import given
from inches import typed_in_inches
from jobs import any_job
from papers import said

from pelmet.model.edit.options import options_for
from pelmet.model.edit.question import asked_of
from pelmet.model.examples import read_example
from pelmet.model.job.allowances import Allowances
from pelmet.model.job.catalogue import bundled_catalogue
from pelmet.model.job.job import MODELS, Job, Site
from pelmet.model.job.prices import PriceBook, bundled_prices, overlay_prices
from pelmet.model.job.region_words import RegionWords, words_of
from pelmet.model.job.rules import Region
from pelmet.model.measure.lengths import parse_length
from pelmet.model.order.folder import Folder, make_folder
from pelmet.model.plan.measures import celsius_said, kilograms_said
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.papers.sheets import SHEETS, paper_of

REGIONS: tuple[Region, ...] = ("eu", "uk", "us")
US = Site(region="us")
# Ids, codes and keys are the same everywhere, and so is what a person typed.
KEPT = re.compile(
    r"\"[^\"]*\"|\b[a-z0-9]+(?:-[a-z0-9]+)+\b|kitchen sockets|\bmains, revision 0|^mains \||"
    r"^[1-9] .*\| fitter \|.*|^Live, |"
    r"\bisolator: supply \w+, isolator|\bisolator has no limit|"
    r"speaks of isolator before"
)
BRITISH = re.compile(
    r"\b(worktops?|splashback|hobs?|plinth|carcass|mains|earth(ed)?|live|isolators?|sockets?|"
    r"VAT|(first|second) fix|fitters?|plaster|licence|colours?|aluminium|metres?|pelmets?)\b",
    re.IGNORECASE,
)
AMERICAN = re.compile(
    r"\b(counters?|backsplash|cooktops?|toe kick|line[- ]voltage|ground|receptacles?|"
    r"disconnects?|sales tax|rough-in|installers?|drywall|license|colors?|aluminum|meters?)\b",
    re.IGNORECASE,
)


def in_region(name: str, region: Region) -> Job:
    job = read_example(name)
    return job.model_copy(update={"site": job.site.model_copy(update={"region": region})})


def told(folder: Folder) -> Iterator[str]:
    for sheet in SHEETS:
        paper = paper_of(folder, sheet)
        yield from (paper.title, paper.reader, *said(paper).split("\n"))
    yield from findings(folder)


def findings(folder: Folder) -> Iterator[str]:
    for finding in folder.plan.findings:
        yield from (finding.says, finding.remedy)


def foreign(pattern: re.Pattern[str], texts: Iterable[str]) -> list[str]:
    return [text for text in texts if pattern.search(KEPT.sub("", text))]


@pytest.mark.regression
@pytest.mark.parametrize("name", ["kitchen", "kitchen-with-pantry", "kitchen-proved-pantry-begun"])
def test_papers_and_findings_of_the_us_speak_its_words_and_others_theirs(name):
    assert foreign(BRITISH, told(make_folder(plan_job(in_region(name, "us"))))) == []
    elsewhere = list(told(make_folder(plan_job(in_region(name, "eu")))))
    assert foreign(BRITISH, elsewhere)
    other = foreign(AMERICAN, elsewhere)
    assert [text for text in other if not re.search("a meter|counter (work|tasks)", text)] == []


@pytest.mark.property
@examples(40)
@given(any_job())
def test_no_finding_of_any_job_in_the_us_speaks_british(job):  # parts are called mains there
    told = findings(make_folder(plan_job(typed_in_inches(job))))
    assert [text for text in foreign(BRITISH, told) if not re.search(r"\bmains\b", text)] == []


@pytest.mark.regression
@pytest.mark.parametrize("kind", ["run", "supply", "leg"])
def test_options_in_the_us_speak_its_words(kind):
    job = in_region("kitchen-with-pantry", "us")
    for thing in job.table(kind)[:2]:
        for option in options_for(job, bundled_catalogue(), kind, thing.id):
            assert foreign(BRITISH, [option.gives, *option.reasons]) == []


@pytest.mark.regression
@pytest.mark.parametrize("region", REGIONS)
def test_forms_are_titled_in_the_words_of_the_region(region):
    site = Site(region=region)
    models = {"site": Site, "allowances": Allowances, **MODELS}
    asked = [asked_of(model, kind, field) for kind, model in models.items()
             for field in model.model_fields if model.model_fields[field].title]  # fmt: skip
    texts = [*(each.title_in(site) for each in asked), *(each.help_in(site) for each in asked)]
    assert [text for text in texts if "{" in text or "}" in text] == []
    assert [each.title for each in asked if len(each.title_in(site)) > 16] == []
    if region == "us":
        assert [t for t in foreign(BRITISH, texts) if "for example" not in t] == []
        assert "Counter height" in texts


@pytest.mark.parametrize("region", REGIONS)
def test_no_text_is_left_with_a_word_that_was_not_filled_in(region):
    folder = make_folder(plan_job(in_region("kitchen-with-pantry", region)))
    assert [text for text in told(folder) if re.search(r"\{[A-Za-z_]+\}", text)] == []


def test_a_name_that_a_person_typed_is_no_word_of_the_table():
    assert words_of("us").value("{worktop}-ish {x") == "{worktop}-ish {x"
    assert words_of("us").value("hob zone") == "cooktop zone"
    assert words_of("uk").value("hob zone") == "hob zone"


@pytest.mark.regression
def test_the_tax_is_called_as_in_the_region_unless_the_price_book_says():
    assert bundled_prices().tax_called(words_of("us")) == "sales tax"
    own = overlay_prices(bundled_prices(), PriceBook(tax_name="TVA"))
    assert own.tax_called(words_of("us")) == "TVA"
    quote = said(paper_of(make_folder(plan_job(in_region("kitchen", "us"))), "quote"))
    assert "Sales tax 20 %" in quote


@pytest.mark.parametrize("word", RegionWords._fields)
def test_every_word_of_the_table_differs_somewhere(word):
    assert len({getattr(words_of(region), word) for region in REGIONS}) > 1


# 1 lb = 0.45359237 kg, 1 in = 25.4 mm (international yard and pound agreement, 1959).
@pytest.mark.published
def test_pounds_and_fahrenheit_stand_beside_metric_in_the_us_alone():
    assert kilograms_said("0.45359237", US) == "0.45359237 kg (1.00 lb)"
    assert celsius_said(15, US) == "15 C (59 F)"
    assert celsius_said(-40, US, "degC") == "-40 degC (-40 degF)"
    assert (kilograms_said("0.5", Site()), celsius_said(15, Site())) == ("0.5 kg", "15 C")
    assert parse_length("1 in", "mm") * 10 == 254


@pytest.mark.regression
def test_a_mounting_sheet_of_the_us_weighs_in_pounds_too():
    folder = make_folder(plan_job(in_region("kitchen", "us")))
    words = said(paper_of(folder, "mounting"))
    assert "weight [kg (lb)]" in words
    assert re.search(r"0\.35 \(0\.7\d\)", words)
