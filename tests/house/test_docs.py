"""The generated pages say what the code says."""

import pytest
from make_docs import pages
from source import ROOT

PAGES = pages()


@pytest.mark.parametrize("name", PAGES)
def test_the_page_is_up_to_date(name):
    assert (ROOT / "docs" / name).read_text(encoding="utf-8") == PAGES[name], "run `make docs`"
