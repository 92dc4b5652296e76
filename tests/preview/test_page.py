"""The page in Chromium, from Debian's packages, driven without a window.

What is not ours to judge (names, roles, contrast) is judged by axe-core, the accessibility rules that
browsers' own tools use.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, sync_playwright
from preview_specs import FAULTY, TEXT, with_head_angle
from watch_process import Watch, watching

from layout.pipeline.draw import draw_spec
from layout.pipeline.order import Order
from layout.spec.load import load

CHROMIUM = shutil.which("chromium")
WAIT = 60_000
"""Milliseconds: a loaded machine is no fault."""
ROW = 'tr[data-dimension="{}"]'


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with sync_playwright() as driver:
        # The sandbox needs rights that a container's root has not got; every page here is our own.
        chromium = driver.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield chromium
        chromium.close()


@pytest.fixture(scope="module")
def watch(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Watch]:
    spec = tmp_path_factory.mktemp("watch") / "frame.yaml"
    spec.write_text(TEXT, "utf-8")
    with watching(spec, "--port", "0") as found:
        yield found


@pytest.fixture
def complaints() -> list[str]:
    return []


@pytest.fixture
def page(browser: Browser, watch: Watch, complaints: list[str]) -> Iterator[Page]:
    yield from opened(browser, watch, complaints, width=1440, height=900)


@pytest.fixture
def phone(browser: Browser, watch: Watch, complaints: list[str]) -> Iterator[Page]:
    yield from opened(browser, watch, complaints, width=390, height=844, has_touch=True)


def opened(browser: Browser, watch: Watch, complaints: list[str], *, width: int, height: int, **options):
    """A page that has its drawing; at the end nobody complained on its console."""
    if watch.spec.read_text("utf-8") != TEXT:
        watch.spec.write_text(TEXT, "utf-8")
    page = browser.new_page(viewport={"width": width, "height": height}, **options)
    page.set_default_timeout(WAIT)
    page.on("console", lambda m: complaints.append(m.text) if m.type in ("error", "warning") else None)
    page.on("pageerror", lambda e: complaints.append(str(e)))
    page.goto(watch.url)
    page.wait_for_selector(f'{ROW.format("head_angle")}[data-value="71.5"]')
    wait_for_words(page)
    yield page
    page.close()
    assert complaints == []


def save(page: Page, watch: Watch, text: str) -> None:
    """Save and wait for the redraw."""
    count = int(page.get_attribute("#drawing", "data-save") or 0)
    watch.spec.write_text(text, "utf-8")
    page.wait_for_selector(f'#drawing[data-save="{count + 1}"]')
    wait_for_words(page)


def wait_for_words(page: Page) -> None:
    """The unpainted words come a frame after the drawing."""
    page.wait_for_selector("#drawing svg g[font-family]", state="attached")


def scale(page: Page) -> float:
    return float(page.get_attribute("#drawing", "data-scale") or 0)


def words(page: Page, name: str) -> str:
    """What the drawing says of a dimension."""
    wait_for_words(page)
    return " ".join(page.locator(f'#drawing svg text[data-of="{name}"]').all_text_contents())


def test_a_save_shows_its_new_value_on_drawing_and_table(page: Page, watch: Watch) -> None:
    assert words(page, "head_angle") == "head angle 71.5°"
    mark = page.get_attribute("#drawing", "data-mark")
    save(page, watch, with_head_angle(72.5))
    assert words(page, "head_angle") == "head angle 72.5°"
    row = page.locator(ROW.format("head_angle"))
    assert row.get_attribute("data-value") == "72.5"
    assert row.inner_text().split("\t") == ["head angle", "72.50°", "71.50", "+1.00", "given"]
    assert "changed" not in (page.locator(ROW.format("bb_drop")).get_attribute("class") or "")
    assert page.get_attribute("#drawing", "data-mark") != mark
    assert "dimensions changed" in page.inner_text("#status")


def test_every_word_of_a_drawing_can_be_found_on_the_page(page: Page, watch: Watch) -> None:
    """Words follow the strokes that they lie over: none stays away, on the first drawing or a later one."""
    count = "document.querySelectorAll('#drawing svg text').length"
    said = "fetch('/state').then((answer) => answer.json()).then((said) => said.svg)"
    for degrees in (71.5, 72.0):
        if degrees != 71.5:
            save(page, watch, with_head_angle(degrees))
        assert page.evaluate(count) == page.evaluate(said).count("<text ") > 300


def test_the_drawing_shown_is_the_file_that_draw_writes(page: Page, watch: Watch, tmp_path: Path) -> None:
    files = draw_spec(load(watch.spec), tmp_path, Order(formats=("svg",))).files
    written = Path(next(f.path for f in files if f.media and f.media.startswith("roll"))).read_text("utf-8")
    geometry = r' (?:d|cx|cy|r|x|y|viewBox)="([^"]*)"'
    shown = page.locator("#drawing svg").evaluate("svg => svg.outerHTML")
    assert re.findall(geometry, shown) == re.findall(geometry, written)
    assert len(re.findall(geometry, written)) > 1000


def test_a_fault_is_shown_over_the_greyed_drawing_and_goes(page: Page, watch: Watch) -> None:
    alert = page.get_by_role("alert")
    assert alert.inner_text() == ""
    watch.spec.write_text(FAULTY, "utf-8")
    page.wait_for_selector("#drawing.stale")
    assert alert.locator("li").count() == 1
    line = FAULTY[: FAULTY.index("head_angel")].count("\n") + 1
    assert alert.locator("li").inner_text().startswith(f"{watch.spec}:{line}: geometry.head_angel: ")
    assert words(page, "head_angle") == "head angle 71.5°"
    save(page, watch, with_head_angle(71.0))
    page.wait_for_selector("#drawing:not(.stale)")
    assert alert.inner_text() == ""


def test_every_sheet_can_be_turned_to(page: Page) -> None:
    keys = page.eval_on_selector_all("[data-sheet]", "all => all.map(b => b.dataset.sheet)")
    assert keys == ["side", "side-a4", "rear", "rear-a4", "setup", "templates", "cutting"]
    drawings = set()
    for key in keys:
        page.click(f'[data-sheet="{key}"]')
        page.wait_for_selector(f'[data-sheet="{key}"][aria-current="true"]')
        page.wait_for_selector("#drawing svg path", state="attached")
        drawings.add(page.locator("#drawing svg").get_attribute("viewBox") + page.inner_text("#page-name"))
        assert page.locator("#drawing svg").count() == 1
    assert len(drawings) == len(keys)
    assert page.inner_text("#page-name").startswith("1 (1 of ")
    page.keyboard.press("]")
    page.wait_for_selector("#page-name:text('2 (2 of ')")


def test_the_wheel_zooms_about_the_pointer(page: Page) -> None:
    point = page.locator("#point-head_tube_bottom")
    before, was = point.bounding_box(), scale(page)
    middle = [before[axis] + before[size] / 2 for axis, size in (("x", "width"), ("y", "height"))]
    at = [round(v) for v in middle]
    page.mouse.move(*at)
    for _ in range(6):
        page.mouse.wheel(0, -400)
    page.wait_for_timeout(200)
    after, grown = point.bounding_box(), scale(page) / was
    assert grown > 4
    wanted = [a + (m - a) * grown for a, m in zip(at, middle, strict=True)]
    found = [after[axis] + after[size] / 2 for axis, size in (("x", "width"), ("y", "height"))]
    assert found == pytest.approx(wanted, abs=1.5)


def test_dragging_moves_the_sheet_by_as_much(page: Page) -> None:
    page.keyboard.press("1")
    before = page.locator("#point-bb").bounding_box()
    page.mouse.move(500, 400)
    page.mouse.down()
    page.mouse.move(540, 430)
    page.mouse.move(600, 470)
    page.mouse.up()
    after = page.locator("#point-bb").bounding_box()
    assert (after["x"] - before["x"], after["y"] - before["y"]) == pytest.approx((100, 70), abs=1)


def test_a_redraw_leaves_the_eye_where_it_is(page: Page, watch: Watch) -> None:
    page.keyboard.press("n")
    before, was = page.locator("#point-bb").bounding_box(), scale(page)
    save(page, watch, TEXT.replace("bb_drop: 72", "bb_drop: 60") + "# lower\n")
    after = page.locator("#point-bb").bounding_box()
    assert scale(page) == was
    assert (after["x"], after["y"]) == pytest.approx((before["x"], before["y"]), abs=1)


def test_pointing_at_a_number_lights_its_dimension_and_the_other_way(page: Page) -> None:
    page.hover(ROW.format("front_centre"))
    lit = page.eval_on_selector_all("#drawing .lit", "all => all.map(e => e.dataset.of)")
    assert set(lit) == {"front_centre"}
    assert "front centre 612.0 mm" in page.inner_text("#lit")
    page.hover('#drawing svg text[data-of="rear_centre"]', force=True)  # or the strokes of the same words
    page.wait_for_selector(f"{ROW.format('rear_centre')}.lit")
    assert page.locator("tr.lit").count() == 1
    page.hover(ROW.format("mechanical_trail"))
    assert page.locator("#drawing svg.over path").count() == 1  # no callout: shown where it is measured
    page.hover(ROW.format("wheel_flop"))
    assert "no place on this sheet" in page.inner_text("#lit")


def test_everything_works_by_keyboard(page: Page, watch: Watch) -> None:
    whole = scale(page)
    page.keyboard.press("1")
    assert scale(page) == pytest.approx(96 / 25.4, abs=1e-3)
    page.keyboard.press("n")
    assert page.inner_text("#lit") == "Point: rear axle"
    page.keyboard.press("0")
    assert scale(page) == whole
    page.focus("#drawing")
    x = page.locator("#point-bb").bounding_box()["x"]
    page.keyboard.press("ArrowRight")
    assert page.locator("#point-bb").bounding_box()["x"] < x
    page.focus(f"{ROW.format('bb_drop')}")
    for _ in range(2):
        page.keyboard.press("ArrowDown")
    assert page.evaluate("() => document.activeElement.dataset.dimension") == "rear_centre"
    assert page.locator("#drawing .lit").first.get_attribute("data-of") == "rear_centre"
    save(page, watch, with_head_angle(71.2))
    assert page.evaluate("() => document.activeElement.dataset.dimension") == "rear_centre"
    page.keyboard.press("s")
    page.wait_for_selector("#drawing svg.start")
    page.keyboard.press("s")
    page.wait_for_selector("#drawing svg.start", state="detached")
    for _ in range(3):
        page.keyboard.press("Tab")
    page.focus('[data-sheet="setup"]')
    page.keyboard.press("Enter")
    page.wait_for_selector('[data-sheet="setup"][aria-current="true"]')


def test_one_to_one_is_true_after_the_ruler_check(page: Page) -> None:
    page.keyboard.press("r")
    for _ in range(20):
        page.keyboard.press("ArrowRight")
    bar = page.locator("#bar").bounding_box()["width"]
    page.keyboard.press("Enter")
    page.keyboard.press("1")
    assert scale(page) == pytest.approx(bar / 100, rel=1e-3)
    assert page.locator("#drawing svg").first.bounding_box()["width"] == pytest.approx(
        float(page.locator("#drawing svg").first.get_attribute("viewBox").split()[2]) * bar / 100, rel=1e-3
    )
    page.evaluate("() => localStorage.clear()")


def test_a_layer_is_switched_off_stays_off_and_comes_back(page: Page, watch: Watch) -> None:
    page.click('[data-layer="dim"]')
    assert not page.locator("#drawing svg > #dim").is_visible()
    save(page, watch, with_head_angle(71.1))
    assert not page.locator("#drawing svg > #dim").is_visible()
    assert page.get_attribute('[data-layer="dim"]', "aria-pressed") == "false"
    page.click('[data-layer="dim"]')
    assert page.locator("#drawing svg > #dim").is_visible()


def test_two_fingers_zoom_about_each_other(phone: Page) -> None:
    was = scale(phone)
    before = phone.locator("#point-bb").bounding_box()
    x, y = round(before["x"] + before["width"] / 2), round(before["y"] + before["height"] / 2)
    touches = phone.context.new_cdp_session(phone)
    for kind, apart in (("touchStart", 40), ("touchMove", 60), ("touchMove", 80), ("touchEnd", None)):
        fingers = [{"x": x, "y": y, "id": 0}, {"x": x + (apart or 0), "y": y - (apart or 0), "id": 1}]
        points = fingers if apart else []
        touches.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
    assert scale(phone) == pytest.approx(2 * was, rel=0.02)
    after = phone.locator("#point-bb").bounding_box()
    assert after["x"] + after["width"] / 2 == pytest.approx(x, abs=2)
    assert after["y"] + after["height"] / 2 == pytest.approx(y, abs=2)


def test_nothing_is_wider_than_a_phone(phone: Page) -> None:
    assert phone.evaluate("() => document.documentElement.scrollWidth") <= 390
    assert phone.locator("#drawing svg").bounding_box()["width"] <= 390
    phone.tap(ROW.format("head_angle"))
    assert phone.locator("#drawing .lit").count() > 0
    for button in phone.get_by_role("button").all():
        if button.is_visible():
            assert button.bounding_box()["height"] >= 40  # a finger, in gloves


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_no_rule_of_accessibility_is_broken(page: Page, watch: Watch, scheme: str) -> None:
    page.emulate_media(color_scheme=scheme)
    page.hover(ROW.format("front_centre"))
    background = page.locator("#paper").evaluate("e => getComputedStyle(e).backgroundColor")
    assert background == "rgb(255, 255, 255)"  # the sheet is white in dark rooms too
    watch.spec.write_text(FAULTY, "utf-8")
    page.wait_for_selector("#drawing.stale")
    found = Axe().run(page)
    assert found.response["passes"], "axe checked nothing"
    broken = [(v["id"], [n["target"] for n in v["nodes"]]) for v in found.response["violations"]]
    assert broken == []


def test_words_of_the_spec_never_become_markup(page: Page, watch: Watch) -> None:
    title = "<img src=x onerror=document.title=1><script>document.title=2</script>"
    save(page, watch, re.sub(r"title: .*", f'title: "{title}"', TEXT))
    assert page.inner_text("#title") == title
    assert page.locator("img, #drawing script, #numbers script").count() == 0
    assert title in page.locator("#drawing svg > title").text_content()
    kinds = page.eval_on_selector_all("#drawing svg *", "all => all.map(e => e.localName)")
    drawn = {"g", "path", "circle", "ellipse", "rect", "clipPath", "defs"}
    assert set(kinds) <= drawn | {"text", "title", "desc"}
    watch.spec.write_text(TEXT.replace("head_angle:", "<b>head</b>:"), "utf-8")
    page.wait_for_selector("#drawing.stale")
    assert "<b>head</b>" in page.inner_text("#faults")
    assert page.locator("#faults b").count() == 0


def test_several_pages_show_the_same_save_each_on_its_own_sheet(
    page: Page, browser: Browser, watch: Watch
) -> None:
    other = browser.new_page()
    other.goto(watch.url)
    other.click('[data-sheet="rear"]')
    other.wait_for_selector('[data-sheet="rear"][aria-current="true"]')
    save(page, watch, with_head_angle(71.3))
    other.wait_for_selector(f'{ROW.format("head_angle")}[data-value="71.3"]')
    assert other.get_attribute('[data-sheet="rear"]', "aria-current") == "true"
    assert page.get_attribute('[data-sheet="side"]', "aria-current") == "true"
    other.close()


def test_a_page_left_open_goes_on_after_a_restart(browser: Browser, spec: Path) -> None:
    with watching(spec, "--port", "0") as first:
        page = browser.new_page()
        page.goto(first.url)
        page.wait_for_selector("#drawing svg")
        assert first.end()[0] == 0
        page.wait_for_selector("#status:text('has ended')")
    spec.write_text(with_head_angle(73.0), "utf-8")
    with watching(spec, "--port", first.url.rstrip("/").rpartition(":")[2]) as second:
        assert second.url == first.url
        page.wait_for_selector(f'{ROW.format("head_angle")}[data-value="73"]', timeout=WAIT)
        assert words(page, "head_angle") == "head angle 73.0°"
        page.close()
