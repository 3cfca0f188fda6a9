"""One JupyterLab and one browser for all tests of pages."""

import pytest
from lab_browser import Lab, open_browser, skip_without_browser, start_lab


@pytest.fixture(scope="package")
def lab(tmp_path_factory) -> Lab:
    """Return a running Lab, which gives no kernel to a notebook that names none, or skip."""
    skip_without_browser()
    with start_lab(tmp_path_factory.mktemp("course")) as running:
        yield running


@pytest.fixture(scope="package")
def browser():
    """Return a running Chromium, or skip."""
    skip_without_browser()
    with open_browser() as running:
        yield running
