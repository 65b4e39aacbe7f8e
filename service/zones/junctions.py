"""Where the runs of a zone meet: every place that a run leaves from or closes to, numbered once."""

from __future__ import annotations

from service.zones.instances import Plan, RunInstance

SAME_PLACE = 1e-6
"""Places along a run closer than this are one place. [m] A micrometre: below any tape, above any rounding."""


def place_of(at: float) -> int:
    """A place along a run [m] as a whole number, in units of `SAME_PLACE`."""
    return round(at / SAME_PLACE)


class Junctions:
    """Places where runs meet, numbered as they are found; those that a closing run joins become one."""

    def __init__(self, plan: Plan) -> None:
        self._plan = plan
        self._of: list[dict[int, int]] = [{} for _ in plan.instances]
        self._leader = [0]
        for number, instance in enumerate(plan.instances):
            self._start(instance)
            if instance.closes_to is not None:
                target, at = instance.closes_to
                self._join(self.at(number, plan.run(number).length), self.at(target, at))
        leaders = sorted({self._find(number) for number in range(len(self._leader))})
        number_of = {leader: number for number, leader in enumerate(leaders)}
        self._number = [number_of[self._find(number)] for number in range(len(self._leader))]

    def __len__(self) -> int:
        return len(set(self._number))

    def at(self, run: int | None, at: float) -> int:
        """Junction at a place of a run, made if there is none yet."""
        place = place_of(at)
        while run is not None and place <= 0:
            instance = self._plan.instances[run]
            run, place = instance.parent, place_of(instance.from_at)
        if run is None:
            return 0
        found = self._of[run].get(place)
        if found is None:
            found = len(self._leader)
            self._leader.append(found)
            self._of[run][place] = found
        return found

    def _start(self, instance: RunInstance) -> int:
        return self.at(instance.parent, instance.from_at)

    def start(self, instance: RunInstance) -> int:
        """Final number of the junction where a run starts."""
        return self._number[self._start(instance)]

    def along(self, run: int) -> dict[int, int]:
        """Final numbers of the junctions beyond the start of a run, by place."""
        return {place: self._number[found] for place, found in self._of[run].items()}

    def _find(self, number: int) -> int:
        while self._leader[number] != number:
            self._leader[number] = number = self._leader[self._leader[number]]
        return number

    def _join(self, one: int, other: int) -> None:
        low, high = sorted((self._find(one), self._find(other)))
        self._leader[high] = low
