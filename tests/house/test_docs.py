"""The generated pages say what the code says."""

import pytest
from source import ROOT

from ampwright.deliver.catalogue import nomenclature_markdown, rules_markdown


@pytest.mark.parametrize(("name", "page"), [("rules.md", rules_markdown), ("nomenclature.md", nomenclature_markdown)])
def test_the_page_is_up_to_date(name, page):
    assert (ROOT / "docs" / name).read_text(encoding="utf-8") == page(), "run `make docs`"
