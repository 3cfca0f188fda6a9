"""▶ in Chromium: time runs, and stands still where nobody looks."""

import pytest
from lab_browser import open_page
from lesson_notebooks import PATHS
from page_browser import LIVE, lay_lessons, open_lesson, start_pages

pytestmark = pytest.mark.browser


def test_time_runs_and_stops_off_the_screen_and_in_a_hidden_tab(browser, tmp_path):
    lay_lessons(tmp_path)
    with start_pages(tmp_path) as address, open_page(browser) as (page, watch):
        open_lesson(page, address, PATHS[1].name)
        page.get_by_role("button", name="Skip").click()
        run = page.locator(".motion").first
        figure = page.locator(LIVE).filter(has=run).first
        picture = figure.locator(".widget-image")
        for stop in ("window.scrollTo(0, 0)", HIDDEN):
            run.scroll_into_view_if_needed()
            before = picture.get_attribute("src")
            run.click()
            page.get_by_role("button", name="Stop").wait_for()
            moved = "([image, before]) => image.src !== before && image.naturalWidth === 800"
            page.wait_for_function(moved, arg=[picture.element_handle(), before])
            page.evaluate(stop)
            page.get_by_role("button", name="Run").wait_for()
        assert (watch.errors, watch.failed, watch.outside) == ([], [], [])


HIDDEN = """() => {
    Object.defineProperty(document, 'hidden', { get: () => true });
    document.dispatchEvent(new Event('visibilitychange'));
}"""
