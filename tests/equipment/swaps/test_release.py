"""The release: what stands in its way, and all that follows from it."""

from __future__ import annotations

import pytest

from equipment.models import SwapEnd
from tests import builders_swaps as swaps

pytestmark = pytest.mark.django_db


def test_a_swap_done_as_its_steps_say_is_released():
    job = swaps.a_job()
    job.do_all()

    signature = job.release()

    assert SwapEnd.objects.get(swap=job.swap).signature == signature
