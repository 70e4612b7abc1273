"""A house at a postcode."""

import dataclasses

import pytest
from jobs import house


@pytest.fixture
def job_at():
    def build(postcode, region=None):
        job = house()
        return dataclasses.replace(job, site=dataclasses.replace(job.site, postcode=postcode, sun_region=region))

    return build
