"""Counts one zone."""

from __future__ import annotations

from typing import get_args

from service.parts.item import Item
from service.parts.pipe import PipeKind
from service.parts.trade_sizes import thread_for
from service.schemas.takeoff import JobZone, TakeoffJob
from service.takeoff.head import count_head
from service.takeoff.outlets import count_outlets
from service.takeoff.pipework import count_pipework
from service.takeoff.shared import Own
from service.takeoff.site import count_site
from service.takeoff.tally import Tally
from service.takeoff.ways import thread
from service.zones.instances import Plan

KINDS: tuple[str, ...] = get_args(PipeKind)

LEAST_HEAD = "0.75in"
"""Smallest thread of a head. Common practice, no source."""


def count_zone(job: TakeoffJob, zone: JobZone, plan: Plan, own: Own) -> Tally:
    """Everything a zone takes, of what zones share only what is its own."""
    tally = Tally()
    size = tally.head_size = job.head_size or head_size(plan)
    tally.runs = len(plan.instances)
    count_pipework(plan, head=thread(size), allowances=job.allowances, tally=tally)
    count_outlets(plan, job.allowances, tally)
    count_head(own.devices, size, frost=job.frost, allowances=job.allowances, tally=tally)
    count_site(zone.installation, plan.runs, own.wired, tally)
    tally.work["zone"] += 1
    tally.work["length"] += sum(tally.work[f"{kind}_length"] for kind in KINDS)
    tally.work["fitting"] += sum(amount for (part, _), amount in tally.amounts.items() if is_fitting(tally.items[part]))
    return tally


def is_fitting(item: Item) -> bool:
    """Whether a part joins pipes or closes them, and is no clamp on such a part."""
    return item.section == "fittings" and not item.id.startswith("clamp-")


def head_size(plan: Plan) -> str:
    """Thread of the head: that of the widest pipe that leaves it."""
    widest = max(run.pipe.inside_diameter for run in plan.runs if run.from_ is None)
    return thread_for(widest, least=LEAST_HEAD)
