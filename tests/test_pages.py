"""The pages in a real browser: followed, reloaded, measured at, printed, used by all."""

from __future__ import annotations

import random
import re
import subprocess
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page

from pathgen import INCH as IN_MM
from pathgen.cli import run
from pathgen.input.lengths import length
from postprocessors.dials.faces.cards import Asked, cards_of, shown_stop
from postprocessors.dials.faces.finding_sizes import judge, shown
from postprocessors.dials.faces.scales import scale_of
from postprocessors.dials.faces.screen_words import sum_words
from postprocessors.dials.readings import Following, measure_of
from postprocessors.dials.steps import MeasureStep, Operation, SetHeadStep, Sheet, WindStep
from postprocessors.drawing.frame import PRINTED_WIDE
from postprocessors.page.of_sheet import groups_of
from postprocessors.page.pages import LENGTHS, About, Follow, Pictures, setup_page
from tests.browser import NO_BROWSER, browser_path, opened, started
from tests.followed import JOBS, files, places, sheet

pytestmark = pytest.mark.skipif(browser_path() is None, reason=NO_BROWSER)

METRIC, INCH, READOUT = "bench-mill-metric", "bench-mill-inch", "bench-mill-readout"
LATHE = "bench-lathe-metric"
PAGES = {
    "sheet": ("fence-bar", METRIC, f"slot.{METRIC}.html"),
    "inches": ("fence-bar", INCH, f"slot.{INCH}.html"),
    "program": ("lock-plate", "converted-mill", "openings.converted-mill.html"),
    "job": ("lock-plate", "converted-mill", "index.converted-mill.html"),
    "lathe": ("guide-bush", LATHE, f"turning.{LATHE}.html"),
}


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with started() as each:
        yield each


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """All pages of these tests, as files."""
    into = tmp_path_factory.mktemp("pages")
    for job, machine in {(job, machine) for job, machine, _ in PAGES.values()}:
        for name, text in files(job, machine).items():
            (into / name).write_text(text, encoding="utf-8")
    return into


def place(folder: Path, name: str) -> Path:
    return folder / PAGES[name][2]


def text(page: Page, selector: str) -> str:
    return (page.locator(selector).first.text_content() or "").strip()


def following(of: Sheet, name: str) -> list[Following]:
    """Return the steps that follow a quantity."""
    return [s for s in of.steps if isinstance(s, Following) and measure_of(s) == name]


def kept(page: Page) -> dict[str, Any]:
    """Return what the page keeps in the browser."""
    said: dict[str, Any] = page.evaluate(
        'JSON.parse(Object.values(localStorage)[0] || \'{"done": [], "found": {}}\')'
    )
    return said


def write_down(page: Page, step: int, value: str) -> str:
    """Type what was found at a step; return what the page answers."""
    form = page.locator(f"#step-{step} form")
    if form.locator("[name=turns]").count():
        turns, figure = value.split(" t ")
        form.locator("[name=turns]").fill(turns)
        form.locator("[name=figure]").fill(figure)
    else:
        form.locator("[name=size]").fill(value)
    form.locator("button").click()
    return text(page, f"#step-{step} .answer")


# ---------------------------------------------------------------------- following


def test_a_whole_sheet_is_followed_by_keys(browser: Browser, folder: Path) -> None:
    steps, at = sheet("fence-bar", METRIC).steps, places(METRIC)
    with opened(browser, place(folder, "sheet")) as page:
        for step in steps:
            if step.number % 25 == 0:
                assert page.locator(".step.now").get_attribute("data-number") == str(step.number)
            if step.number in (at.noted, at.measured):
                page.keyboard.press("Enter")  # not before what is found is written down
                assert f"Step {step.number} is not done" in text(page, "#count")
                typed = "8 t 49.0" if step.number == at.noted else "9.5"
                write_down(page, step.number, typed)
                page.locator("h1").click()
            page.keyboard.press("Enter")
        assert text(page, "#count") == f"All {len(steps)} steps are done."
        assert kept(page)["done"] == [step.number for step in steps]


def test_clicks_reload_and_undo(browser: Browser, folder: Path) -> None:
    at = places(METRIC)
    with opened(browser, place(folder, "sheet")) as page:
        for _ in range(1, at.noted):
            page.locator("#done").click()
        assert write_down(page, at.noted, "8 t 51.0") == "F1 found: 8 t 51.0"
        for _ in range(at.noted, at.half):
            page.locator("#done").click()
        page.reload()
        assert page.locator(".step.now").get_attribute("data-number") == str(at.half)
        # Half of two divisions more than expected is one more than 27.5.
        assert text(page, f"#step-{at.half} .figure") == "28.5"
        page.locator("#undo").click()
        assert page.locator(".step.now").get_attribute("data-number") == str(at.half - 1)
        assert kept(page)["done"] == list(range(1, at.half - 1))


def test_looking_about_marks_nothing(browser: Browser, folder: Path) -> None:
    with opened(browser, place(folder, "sheet")) as page:
        page.keyboard.press("Enter")
        page.keyboard.press("ArrowDown")
        page.locator("#jump").select_option(index=3)
        assert page.locator(".step.now").get_attribute("data-number") == str(places(METRIC).rough)
        assert "the work stands at step 2" in text(page, "#count")
        page.locator("#done").click()
        assert page.locator(".step.now").get_attribute("data-number") == "2"
        assert kept(page)["done"] == [1]


def test_a_swipe_looks_on(browser: Browser, folder: Path) -> None:
    with opened(browser, place(folder, "sheet"), 360, 740) as page:
        page.evaluate(
            """() => {
              const target = document.querySelector(".step.now");
              for (const [kind, clientX] of [["touchstart", 300], ["touchend", 100]]) {
                const touch = new Touch({ identifier: 1, target, clientX, clientY: 300 });
                const said = { changedTouches: [touch], bubbles: true };
                target.dispatchEvent(new TouchEvent(kind, said));
              }
            }"""
        )
        assert page.locator(".step.now").get_attribute("data-number") == "2"
        assert page.evaluate("localStorage.length") == 0


def test_a_list_is_ticked_in_any_order(browser: Browser, folder: Path) -> None:
    with opened(browser, place(folder, "sheet")) as page:
        page.keyboard.press("l")
        page.locator("#step-3 input[type=checkbox]").check()
        assert kept(page)["done"] == [3]
        half = page.locator(f"#step-{places(METRIC).half} input[type=checkbox]")
        half.click()
        assert not half.is_checked()
        noted = places(METRIC).noted
        assert f"it follows F1, which is found in step {noted}" in text(page, "#count")


def test_another_sheet_never_takes_over_marks(browser: Browser, folder: Path) -> None:
    path = place(folder, "sheet")
    other = folder / "changed.html"
    said = re.search(r'"key":"(\w+)"', path.read_text())
    assert said
    other.write_text(path.read_text().replace(said[1], "0123456789abcdef"))
    with opened(browser, path) as page:
        page.keyboard.press("Enter")
        page.keyboard.press("Enter")
        page.goto(other.as_uri())
        assert page.locator(".step.now").get_attribute("data-number") == "1"
        assert "2 steps of the other one are marked" in text(page, ".notice")
        page.goto(path.as_uri())
        assert page.locator(".step.now").get_attribute("data-number") == "3"
        assert page.locator(".notice").count() == 0


def test_the_picture_shows_what_is_cut(browser: Browser, folder: Path) -> None:
    with opened(browser, place(folder, "sheet")) as page:
        page.locator("#jump").select_option(index=2)  # chain drilling: the spots are done
        cut = page.locator(".chart .plan .gone")
        at = places(METRIC)
        before = sheet("fence-bar", METRIC).steps[: at.chain - 1]
        spots = [step for step in before if getattr(step, "cut", False)]
        assert cut.count() == len(spots) == 11
        for _ in range(at.drilled - at.chain):
            page.keyboard.press("ArrowDown")
        assert page.locator(".chart .plan .now").get_attribute("data-number") == str(at.drilled)
        assert "x 30.000 mm, y 0.000 mm, z 4.000 mm" in text(page, "#place")


def test_turned_work_is_shown_in_the_half_section(browser: Browser, folder: Path) -> None:
    of = sheet("guide-bush", LATHE, "turning")
    cuts = [step.number for step in of.steps if isinstance(step, WindStep) and step.cut]
    with opened(browser, place(folder, "lathe")) as page:
        assert page.locator(".chart g[data-axes]").get_attribute("data-axes") == "z x"
        page.locator("#jump").select_option(index=3)  # the first finishing pass
        first = of.operations[3].first
        gone = page.locator(".chart .depth.gone")
        assert gone.count() == len([number for number in cuts if number < first])
        assert text(page, "#place").startswith("Before this step: diameter ")
        wind = next(s for s in of.steps if isinstance(s, WindStep) and of.dial(s.slide).axis == "x")
        shown_at = text(page, f"#step-{wind.number} .place")
        assert shown_at == f"diameter {2 * wind.place:.3f} mm"


# ---------------------------------------------------------------------- measuring

FORMS = ("{0:.3f}", "{0:.3f} mm", "{1:.4f} in", '{1:.4f}"', "{2:.1f} thou", "{3:.4f} cm")
# Types what it is given into the forms, one after the other, and tells what the page then shows.
TYPE_ALL = """(typed) => typed.map(([step, value, rows]) => {
  const form = document.querySelector("#step-" + step + " form");
  const fields = form.elements;
  if (fields.turns) [fields.turns.value, fields.figure.value] = value.split(" t ");
  else fields.size.value = value;
  form.requestSubmit();
  const said = (row, kind) => {
    const shown = document.querySelector("#step-" + row + " ." + kind);
    return shown ? shown.textContent.trim() : "";
  };
  const kinds = ["passes", "figure", "total", "place", "sum"];
  return [said(step, "answer"), rows.map((row) => kinds.map((kind) => said(row, kind)))];
})"""


def typed_value(asked: Asked, chance: random.Random) -> str:
    """Return a value somewhere in the band, typed in some form."""
    value = chance.uniform(asked.low, asked.high)
    if asked.dial is None:
        form = chance.choice(FORMS)
        return form.format(value, value / IN_MM, value / IN_MM * 1000, value / 10)
    if asked.dial.readout:
        return shown(value, asked)
    turns, counts = divmod(round(value / asked.dial.count), asked.dial.counts_per_turn)
    return f"{turns} t {counts * asked.dial.judged:g}"


def python_shows(of: Sheet, step: Following, asked: Asked, found: float) -> list[str]:
    """Return what Python has a step show that follows a found value."""
    stop = shown_stop(step, of, found)
    return [
        stop.way_there,
        stop.figure,
        stop.total,
        stop.place,
        sum_words(step, scale_of(step, of), asked, found),
    ]


@pytest.mark.parametrize(("machine", "many"), [(INCH, 200), (READOUT, 60)])
def test_measurements_give_the_readings_that_python_has(
    machine: str, many: int, browser: Browser, tmp_path: Path
) -> None:
    of = sheet("press", machine, "way")
    (tmp_path / "page.html").write_text(files("press", machine)[f"way.{machine}.html"])
    asks = [card for card in cards_of(of) if card.asked and any(following(of, card.asked.name))]
    assert len(asks) == 3  # two middles of touches, and a width
    chance = random.Random(20)
    typed = []
    for count in range(many):
        asked = asks[count % 3].asked
        assert asked is not None
        rows = [step.number for step in following(of, asked.name)]
        typed.append((asks[count % 3].number, typed_value(asked, chance), rows))
    with opened(browser, tmp_path / "page.html") as page:
        answers = page.evaluate(TYPE_ALL, typed)
    taken = 0
    for count, (answer, rows) in enumerate(answers):
        asked = asks[count % 3].asked
        assert asked is not None
        judged = judge(typed[count][1], asked)
        if judged.found is None:
            assert answer == judged.reason
            continue
        taken += 1
        winds = following(of, asked.name)
        assert rows == [python_shows(of, step, asked, judged.found) for step in winds], typed[count]
    assert taken > 0.9 * many  # rounding takes a few beyond the band


SENSELESS = (
    "0.374",
    "374",
    "9.5 in",
    "9.2",
    "9,5",
    "nonsense",
    "",
    "-9.5",
    "3/8",
    "1/0 in",
    "4 ells",
)


def test_senseless_sizes_are_refused_as_python_refuses_them(browser: Browser, folder: Path) -> None:
    (step,) = [s for s in sheet("fence-bar", METRIC).steps if isinstance(s, MeasureStep)]
    asked = cards_of(sheet("fence-bar", METRIC))[step.number - 1].asked
    assert asked is not None
    with opened(browser, place(folder, "sheet")) as page:
        answers = page.evaluate(TYPE_ALL, [(step.number, typed, []) for typed in SENSELESS])
        assert kept(page)["found"] == {}
        assert page.locator(f"#step-{step.number} .answer.refused").count() == 1
    for typed, (said, _) in zip(SENSELESS, answers, strict=True):
        reason = judge(typed, asked).reason
        assert reason
        if "STOP" in reason or "is far off" in reason:
            assert said == reason
        else:
            assert said.startswith(f"{typed or 'nothing'} cannot be read as a length; a number, or")


def test_fractions_are_read_to_the_last_bit(browser: Browser, folder: Path) -> None:
    chance = random.Random(2)
    typed = [f"{chance.randrange(1, 64)}/64 in" for _ in range(20)]
    typed += [f"{chance.randrange(1, 9)} {chance.randrange(1, 16)}/16 in" for _ in range(20)]
    typed += [f"{chance.randrange(1, 99999)} thou" for _ in range(10)]
    typed += [f"{chance.uniform(0.1, 20):.5f} in" for _ in range(20)]
    # The page as it is, but for the band and that it shows what it holds.
    (step,) = [s for s in sheet("fence-bar", METRIC).steps if isinstance(s, MeasureStep)]
    whole = place(folder, "sheet").read_text(encoding="utf-8")
    for old, new in (
        (f'"low":{step.low},"high":{step.high}', '"low":-1e9,"high":1e9'),
        ("const found = {};", "const found = window.held = {};"),
    ):
        assert whole.count(old) == 1
        whole = whole.replace(old, new)
    path = folder / "wide.html"
    path.write_text(whole, encoding="utf-8")
    with opened(browser, path) as page:
        for each in typed:
            page.evaluate(TYPE_ALL, [(step.number, each, [])])
            assert page.evaluate("window.held.M1") == length(each, "mm"), each


def test_a_boring_head_is_set_by_what_was_measured(browser: Browser, tmp_path: Path) -> None:
    head = SetHeadStep(
        number=2,
        head="boring head",
        diameter=22.0,
        per_division=0.02,
        judged=0.5,
        uncertainty=0.01,
        measure="M1",
        expected=21.8,
        base=20.0,
    )
    bore = MeasureStep(number=1, name="M1", what="bore", expected=21.8, low=21.6, high=21.95)
    whole = sheet("fence-bar", METRIC)
    heading = Operation(first=1, title="Set up")
    of = replace(whole, operations=(heading,), steps=(bore, head))
    about = About(
        index="index.html",
        title="Bearing cheek",
        setup="bore",
        machine="bench mill",
        digest="d",
        facts=(),
        cutters=(),
        reading=(),
    )
    follow = Follow(text="t", units="mm", dials=of.dials)
    path = tmp_path / "page.html"
    path.write_text(setup_page(about, groups_of(of), follow, Pictures()), encoding="utf-8")
    asked = cards_of(of)[0].asked
    assert asked is not None
    chance = random.Random(4)
    typed = [f"{chance.uniform(21.6, 21.95):.3f}" for _ in range(40)]
    with opened(browser, path) as page:
        assert text(page, "#step-2 .figure") == "____"
        answers = page.evaluate(TYPE_ALL, [(1, value, [2]) for value in typed])
    for value, (_, (row,)) in zip(typed, answers, strict=True):
        assert row == python_shows(of, head, asked, float(value))
        # From 21.6 it would be 0.4 on the diameter to 22: as many divisions as that has 0.02.
        out = float(row[1])
        assert float(value) + out * 0.02 == pytest.approx(22.0, abs=0.0051)


def test_the_page_knows_units_as_python_does() -> None:
    for unit, (over, under) in LENGTHS.items():
        assert length(f"1 {unit}", "mm") == over / under


# ---------------------------------------------------------------------- looks and paper


SCREENS: tuple[tuple[int, int], ...] = ((320, 568), (768, 1024), (1280, 800))


@pytest.mark.parametrize("name", PAGES)
def test_no_page_is_wider_than_its_screen(name: str, browser: Browser, folder: Path) -> None:
    with opened(browser, place(folder, name)) as page:
        for width, height in SCREENS:
            page.set_viewport_size({"width": width, "height": height})
            for look in ("list", "one") if page.locator("#look-one").count() else ():
                page.locator(f"#look-{look}").click()
                assert page.evaluate("document.documentElement.scrollWidth") <= width
            assert page.evaluate("document.documentElement.scrollWidth") <= width
            for big in page.locator("#keys button").all():
                box = big.bounding_box()
                assert box is not None
                assert min(box["width"], box["height"]) >= 44  # WCAG 2.5.5, from memory


@pytest.mark.parametrize(
    ("name", "scheme"),
    [
        ("sheet", "light"),
        ("sheet", "dark"),
        ("program", "light"),
        ("job", "dark"),
        ("lathe", "dark"),
    ],
)
def test_pages_can_be_used_by_all(name: str, scheme: str, browser: Browser, folder: Path) -> None:
    with opened(browser, place(folder, name), scheme=scheme) as page:
        # All kinds of steps are among the first and the last; the judge is slow with many.
        page.evaluate(
            """(steps) => document.querySelectorAll("li.step").forEach((step) => {
              const number = Number(step.dataset.number);
              if (number > 42 && number < steps - 42) step.remove();
            })""",
            page.locator("li.step").count(),
        )
        for look in ("list", "one") if page.locator("#look-one").count() else ("",):
            if look:
                page.locator(f"#look-{look}").click()
            found = Axe().run(page)
            assert found.violations_count == 0, found.generate_report()


@pytest.mark.parametrize(("paper", "size"), [("A4", "595"), ("Letter", "612")])
def test_a_printed_sheet_has_every_step_whole_on_one_page(
    paper: str, size: str, browser: Browser, folder: Path, tmp_path: Path
) -> None:
    path = tmp_path / "sheet.pdf"
    with opened(browser, place(folder, "sheet")) as page:
        page.pdf(path=path, format=paper)
    told = subprocess.run(["pdfinfo", path], capture_output=True, text=True, check=True).stdout
    count = int(re.search(r"Pages: +(\d+)", told)[1])  # type: ignore[index]
    assert re.search(rf"Page size: +{size}", told)
    printed = subprocess.run(
        ["pdftotext", "-raw", path, "-"], capture_output=True, text=True, check=True
    ).stdout.split("\f")[:-1]
    assert len(printed) == count
    pages = [re.sub(r"\W", "", each) for each in printed]
    for number, each in enumerate(printed, start=1):
        assert f"page {number} of {count}" in each
    for card in cards_of(sheet("fence-bar", METRIC)):
        words = [card.title, *card.lines, *card.by_hand]
        words = [re.sub(r"\W", "", said.removeprefix("- ")) for said in words if said]
        assert any(all(said in each for said in words) for each in pages), card.number
    whole = "".join(printed)
    for said in (
        "Cutters to lay out",
        "10 mm slot drill",
        "mild steel, 160 \N{MULTIPLICATION SIGN} 30 \N{MULTIPLICATION SIGN} 8 mm",
        "M1 found:",
    ):
        assert said in whole


def test_without_its_script_a_page_is_the_whole_list(browser: Browser, folder: Path) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(place(folder, "sheet").as_uri())
    steps = len(sheet("fence-bar", METRIC).steps)
    assert page.locator("li.step:visible").count() == steps
    assert page.locator("#keys:visible, nav:visible, form:visible").count() == 0
    context.close()


@pytest.mark.parametrize("name", ["sheet", "lathe"])
def test_nothing_is_so_wide_that_a_printed_page_is_made_smaller(
    name: str, browser: Browser, folder: Path
) -> None:
    across = round(PRINTED_WIDE / 25.4 * 96)  # px between the margins of A4
    with opened(browser, place(folder, name), width=across) as page:
        page.emulate_media(media="print")
        assert page.evaluate("document.documentElement.scrollWidth") <= across
        rows = page.evaluate(
            """() => [...document.querySelectorAll(".passes svg")].map(
              (each) => Math.round(each.getBoundingClientRect().top))"""
        )[1:]
        assert len(rows) > 3
        assert max(rows.count(row) for row in rows) == 3


def test_the_section_of_turned_work_is_printed_to_scale_with_its_passes(
    browser: Browser, folder: Path, tmp_path: Path
) -> None:
    path = tmp_path / "lathe.pdf"
    with opened(browser, place(folder, "lathe")) as page:
        page.pdf(path=path, format="A4")
        # Print has the whole list, so that each pass stands under the number of its picture.
        pictures = page.locator(".passes svg title").all_text_contents()[1:]
        headings = page.locator(".pass h2").all_text_contents()
    assert [each.casefold() for each in headings if each[0].isdigit()] == [
        each.casefold() for each in pictures
    ]
    told = subprocess.run(
        ["pdftotext", "-bbox", "-l", "3", path, "-"], capture_output=True, text=True, check=True
    ).stdout
    found = re.findall(r'xMin="([\d.]+)" .*xMax="([\d.]+)" .*>(24|30|33)<', told)
    middles = {word: (float(low) + float(high)) / 2 for low, high, word in found}
    # Figures stand on the middle of their dimension: 24 and 33 from the face are 4.5 mm apart, at
    # 2:1; 72 points are an inch.
    apart = (middles["24"] - middles["33"]) / 72 * 25.4
    assert apart == pytest.approx(9.0, abs=0.05)


def test_drawings_are_printed_to_scale(browser: Browser, folder: Path) -> None:
    with opened(browser, place(folder, "sheet")) as page:
        page.emulate_media(media="print")
        across, scale = page.evaluate(
            """() => {
              const plan = document.querySelector(".views g.plan");
              const slot = plan.querySelector("path.slot").getBoundingClientRect();
              return [slot.width * 25.4 / 96, Number(plan.dataset.scale)];
            }"""
        )
        assert across == pytest.approx(110 * scale, abs=0.8)  # the line's own width beside it
        assert page.locator(".first").is_visible()
        assert page.locator("#keys").is_hidden()


# ---------------------------------------------------------------------- words of others


def test_a_title_that_is_markup_and_script_stays_text(browser: Browser, tmp_path: Path) -> None:
    evil = "</script><script>document.title = 'bad'</script><b>&amp;"
    job = tmp_path / "spoilt.toml"
    plain = (JOBS / "fence-bar.toml").read_text(encoding="utf-8")
    job.write_text(plain.replace("Fence bar of the nipping press", evil), encoding="utf-8")
    with pytest.raises(SystemExit):
        run(["make", str(job), "--machine", METRIC, "--into", str(tmp_path)])
    for name in (f"slot.{METRIC}.html", f"index.{METRIC}.html"):
        with opened(browser, tmp_path / name) as page:
            assert text(page, "h1") == evil
            assert evil in page.title()
            assert page.locator("main b:text('&amp;')").count() == 0
