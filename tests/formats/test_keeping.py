"""Equal questions cost one computation, and whoever has the answer is not sent it again."""

import asyncio

import httpx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.api.kept import OVERHEAD, Keeper, Kept
from service.app import create_app
from service.render import formats
from service.settings import Settings
from service.zones.check import check
from tests.edge.conftest import asker
from tests.formats.questions import ROWS, UNIFORM, uniform

BURST = 200


@pytest.fixture
def counted(monkeypatch):
    """Counts the checks that are computed."""
    calls = []

    def counting(*args, **kwargs):
        calls.append(args)
        return check(*args, **kwargs)

    monkeypatch.setattr("service.api.zones.check", counting)
    return calls


def at_once(addresses, settings=None):
    """Answers to many questions that are asked at the same moment."""

    async def gather():
        transport = httpx.ASGITransport(create_app(settings or Settings(threads=1, queue=1)))
        async with httpx.AsyncClient(transport=transport, base_url="http://endline.test") as client:
            return await asyncio.gather(*(client.get(address) for address in addresses))

    return asyncio.run(gather())


def test_a_burst_of_equal_questions_costs_one_computation(counted):
    answers = at_once([uniform()] * BURST)
    assert {answer.status_code for answer in answers} == {200}
    assert len({answer.content for answer in answers}) == 1
    assert len(counted) == 1


@pytest.mark.parametrize(
    ("asked", "drawing"),
    [({"plot": "plan"}, "drawn"), ({"format": "html"}, "sheet_page"), ({"table": "profile"}, None)],
    ids=["picture", "sheet", "table"],
)
def test_a_burst_of_equal_questions_costs_one_drawing(counted, monkeypatch, asked, drawing):
    drawings = []
    if drawing:
        draw = getattr(formats, drawing)
        monkeypatch.setattr(formats, drawing, lambda *args: drawings.append(args) or draw(*args))
    answers = at_once([uniform(**asked)] * 20)
    assert {answer.status_code for answer in answers} == {200}
    assert len({answer.content for answer in answers}) == 1
    assert len(drawings) == (1 if drawing else 0)
    assert len(counted) <= 1


def test_a_cell_does_not_wait_for_all_the_pictures_that_were_asked_for_before_it():
    async def play():
        ended = []
        transport = httpx.ASGITransport(create_app(Settings(threads=1)))
        async with httpx.AsyncClient(transport=transport, base_url="http://endline.test") as client:

            async def ask(address):
                answer = await client.get(address)
                assert answer.status_code == 200
                ended.append(address)

            pictures = [asyncio.create_task(ask(uniform(plot="plan", lateral_length=60 + n))) for n in range(8)]
            await asyncio.wait(pictures, return_when=asyncio.FIRST_COMPLETED)
            drawn = len(ended)
            await ask(cell := uniform(pick="flow", lateral_length=50))
            behind = ended.index(cell) - drawn
            await asyncio.gather(*pictures)
        return behind

    # Computed and told it is behind what is being drawn each time, and not behind all.
    assert asyncio.run(play()) <= 3


def test_so_does_a_burst_for_different_values_of_one_answer(counted):
    names = ("flow", "verdict", "end_of_line_pressure", "runs.lateral:2.end_pressure", "regulator.advice")
    answers = at_once([uniform(pick=name) for name in names] * (BURST // len(names)))
    assert {answer.status_code for answer in answers} == {200}
    assert len({answer.text for answer in answers}) == len(names)
    assert len(counted) == 1


def test_a_question_is_known_again_in_other_words(counted):
    spelled = {**ROWS, "static_pressure": "64,0", "units": "us", "spacing": "2e0"}
    shuffled = "&".join(f"{name}={spelled[name]}" for name in sorted(spelled, reverse=True))
    first, second = at_once([uniform(), f"{UNIFORM}?{shuffled}"])
    assert first.headers["ETag"] == second.headers["ETag"]
    assert len(counted) == 1


def test_another_question_is_another(counted):
    first, second, third = at_once([uniform(), uniform(spacing=3), uniform(units="metric")], Settings())
    assert len({answer.headers["ETag"] for answer in (first, second, third)}) == 3
    assert len(counted) == 3


def test_an_error_is_not_kept(monkeypatch):
    tries = []

    def fails_once(*args, **kwargs):
        tries.append(args)
        if len(tries) == 1:
            raise ZeroDivisionError
        return check(*args, **kwargs)

    monkeypatch.setattr("service.api.zones.check", fails_once)
    ask = asker(Settings())
    assert [ask("GET", uniform()).status_code for _ in range(3)] == [500, 200, 200]
    assert len(tries) == 2


def test_nor_is_a_refusal(counted):
    ask = asker(Settings())
    for _ in range(2):
        assert ask("GET", uniform(pick="nothing")).status_code == 422
    assert ask("GET", uniform(errors="text", pick="nothing")).headers["Cache-Control"] == "no-store"
    assert ask("GET", uniform(spacing=-1)).status_code == 422
    # The answer was sound each time; the name was not.
    assert len(counted) == 1


def test_everyone_who_waits_is_told_of_a_failure(monkeypatch):
    def fails(*_: object, **__: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr("service.api.zones.check", fails)
    assert {answer.status_code for answer in at_once([uniform()] * 5)} == {500}


def test_nothing_is_kept_where_there_is_no_room(counted):
    ask = asker(Settings(kept_bytes=0))
    assert ask("GET", uniform()).content == ask("GET", uniform()).content
    assert len(counted) == 2


@pytest.fixture
def keeper(monkeypatch):
    """The keeper of the service that is made next."""
    keeper = Keeper(Settings().kept_bytes)
    monkeypatch.setattr("service.app.Keeper", lambda room: keeper)
    return keeper


@pytest.mark.parametrize("form", [{"plot": "plan"}, {"format": "html"}, {"table": "runs", "format": "csv"}])
def test_a_body_is_kept_once(keeper, form):
    ask = asker(Settings())
    body = ask("GET", uniform(**form)).content
    taken = keeper.taken
    assert ask("GET", uniform(**form, units="us")).content == body  # the same question in other words
    assert keeper.taken == taken + OVERHEAD


def test_a_body_thrown_out_before_its_headers_is_written_anew(keeper):
    ask = asker(Settings())
    first = ask("GET", uniform(format="csv"))
    keeper.put(first.headers["ETag"], Kept(b"x" * keeper.room))  # too large to be kept
    assert keeper.get(first.headers["ETag"]) is None
    assert ask("GET", uniform(format="csv")).content == first.content


HELD = ["{tag}", "W/{tag}", '"other", {tag}', "*"]


@pytest.mark.parametrize("held", HELD)
def test_an_answer_that_the_caller_holds_is_not_sent_again(ask, held):
    tag = ask("GET", uniform()).headers["ETag"]
    again = ask("GET", uniform(), headers={"If-None-Match": held.format(tag=tag)})
    assert again.status_code == 304
    assert again.content == b""
    assert again.headers["ETag"] == tag
    assert again.headers["Cache-Control"].startswith("public, max-age=")
    assert "Accept" in again.headers["Vary"]


def test_it_is_not_even_computed(counted):
    tag = asker(Settings())("GET", uniform()).headers["ETag"]
    assert asker(Settings())("GET", uniform(), headers={"If-None-Match": tag}).status_code == 304
    assert len(counted) == 1


def test_an_answer_that_the_caller_does_not_hold_is_sent(ask):
    answer = ask("GET", uniform(), headers={"If-None-Match": '"another"'})
    assert (answer.status_code, answer.headers["Cache-Control"]) == (200, "public, max-age=300")


def test_the_tag_is_of_the_form_too(ask):
    forms = ({}, {"format": "csv"}, {"format": "xml"}, {"table": "runs"}, {"pick": "flow"}, {"pick": "verdict"})
    tags = {ask("GET", uniform(**how)).headers["ETag"] for how in forms}
    assert len(tags) == len(forms)


def tag_of_answer(settings):
    return asker(settings)("GET", uniform()).headers["ETag"]


def test_the_tag_is_of_the_version_and_the_settings_too(monkeypatch):
    tags = [tag_of_answer(Settings()), tag_of_answer(Settings(max_outlets=900))]
    monkeypatch.setattr("service.api.tags.__version__", "99.0.0")
    assert len({*tags, tag_of_answer(Settings())}) == 3


OWN_PARTS = """
units = "metric"
[sources]
own = "measured on site"
[[pipe]]
id = "own-pipe"
name = "a pipe of our own"
material = "pe"
inside_diameter = {bore}
source = ["own"]
"""


def test_the_tag_is_of_the_catalogue_too(tmp_path):
    file = tmp_path / "parts.toml"
    settings = Settings(parts_file=file)
    tags = []
    for bore in (20, 21):
        file.write_text(OWN_PARTS.format(bore=bore), "utf-8")
        tags.append(tag_of_answer(settings))
    assert len(set(tags)) == 2


def test_formats_named_and_liked_are_not_mixed_up(ask):
    liked = ask("GET", uniform(), headers={"Accept": "text/csv"})
    plain = ask("GET", uniform(), headers={"Accept": "application/json"})
    assert liked.headers["Content-Type"].startswith("text/csv")
    assert plain.headers["Content-Type"] == "application/json"
    assert liked.headers["ETag"] != plain.headers["ETag"]


def test_headers_of_one_time_are_not_kept():
    ask = asker(Settings(allowed_origins="https://sheets.example"))
    first = ask("GET", uniform(), headers={"Origin": "https://sheets.example", "X-Request-ID": "one"})
    second = ask("GET", uniform(), headers={"X-Request-ID": "two"})
    assert first.headers["Access-Control-Allow-Origin"] == "https://sheets.example"
    assert "Access-Control-Allow-Origin" not in second.headers
    assert second.headers["X-Request-ID"] == "two"


bodies = st.tuples(st.integers(0, 9), st.integers(0, 5_000))


@given(st.lists(bodies, max_size=60), st.integers(0, 40_000))
def test_what_is_kept_never_takes_more_than_its_room(entries, room):
    keeper = Keeper(room)
    for key, size in entries:
        keeper.put(key, Kept(b"x" * size))
        kept = keeper.get(key)
        assert kept is None or len(kept.body) == size
        assert keeper.taken <= room
    held = [keeper.get(key) for key in range(10)]
    assert keeper.taken == sum(len(entry.body) + OVERHEAD for entry in held if entry)


def test_the_longest_unused_goes_first():
    keeper = Keeper(6 * (OVERHEAD + 100))
    for key in "abcdef":
        keeper.put(key, Kept(b"x" * 100))
    assert keeper.get("a")
    keeper.put("g", Kept(b"x" * 100))
    assert [key for key in "abcdefg" if keeper.get(key) is None] == ["b"]


def test_the_others_get_their_answer_when_the_first_one_leaves():
    made = []

    async def make():
        await asyncio.sleep(0.01)
        made.append(1)
        return b"answer"

    async def play():
        keeper = Keeper(100_000)
        first = asyncio.create_task(keeper.once("key", make))
        await asyncio.sleep(0)
        second = asyncio.create_task(keeper.once("key", make))
        await asyncio.sleep(0)
        first.cancel()
        return await second

    assert asyncio.run(play()) == b"answer"
    assert made == [1]
