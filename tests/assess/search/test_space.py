"""What a design keeps of the record and what it drops."""

from dataclasses import replace

import pytest
from catalogues import written
from jobs import house

from ampwright.assess.catalogue import read_catalogue
from ampwright.assess.search.space import space_for
from ampwright.job.record import Cable, Section
from ampwright.reading import measured

CHOSEN = Cable(kind="armoured_90c", size_mm2=6, cores_count=3, cpc="core", carries_data=False)
READ = {"bedding_mm": measured(11.9), "sheath_mm": measured(17.2), "conductor_class": 2}


@pytest.mark.parametrize(("typed", "kept"), [(CHOSEN, True), (replace(CHOSEN, size_mm2=10), False), (Cable(), False)])
def test_what_was_measured_of_a_cable_is_not_said_of_another(typed, kept):
    stretch = Section(name="wall", method="C", length_m=measured(8), cable=replace(typed, **READ))
    catalogue = read_catalogue(written({"tails": {"offered_where": ""}}))
    space = space_for(house({"route": (stretch,)}), catalogue)
    cable = space.designed((), catalogue.axis("cable")).route[0].cable
    assert (cable.size_mm2, cable.cores_count) == (6, 3)
    assert {name: getattr(cable, name) for name in READ} == (READ if kept else dict.fromkeys(READ))
