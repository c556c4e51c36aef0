"""The page server without a browser: how many pages fit, which kernel is handed out, ended or refused, what is said."""

import asyncio
import socket
from datetime import datetime, timedelta
from pathlib import Path
from types import SimpleNamespace

import psutil
import pytest
from jupyter_server._tz import utcnow
from jupyter_server.services.kernels.kernelmanager import AsyncMappingKernelManager
from tornado.web import HTTPError
from traitlets import Any, HasTraits, Instance, Unicode
from traitlets.config import LoggingConfigurable
from visitor import run
from waiting import until

from retrofit_lab.app.serve import capacity, page_server, serving, wording
from retrofit_lab.app.serve import kernels as kernels_module
from retrofit_lab.app.serve.capacity import (
    PAGE_MB,
    RESERVE_MB,
    SPARE_PAGES,
    USUAL_PAGES,
    CapacityError,
    class_sentences,
    free_megabytes,
    pages_that_fit,
    places_for,
)
from retrofit_lab.app.serve.kernels import PageKernels
from retrofit_lab.app.serve.page_server import PageServer
from retrofit_lab.app.serve.serving import (
    ServeOptions,
    addresses,
    check_options,
    for_others,
    network_hosts,
)
from retrofit_lab.app.serve.visits import COMING, PAGES_EACH, Who
from retrofit_lab.base.values import InputError

PLENTY = 64_000.0


def test_class_takes_what_it_announces_and_no_more() -> None:
    places = places_for(30, PLENTY)
    assert places.most == places.ready == 30 + SPARE_PAGES
    text = " ".join(class_sentences(30, places, PLENTY))
    assert f"{places.most * PAGE_MB / 1000:.1f} GB when everybody" in text
    assert "64.0 GB are free" in text


def test_larger_class_than_memory_is_refused_with_what_would_fit() -> None:
    free = RESERVE_MB + 12.5 * PAGE_MB
    with pytest.raises(CapacityError, match=r"10 would fit\. Give --class 10, or close") as error:
        places_for(30, free)
    assert f"{free / 1000:.1f} GB are free" in str(error.value)
    assert places_for(10, free).most == pages_that_fit(free) == 12
    with pytest.raises(CapacityError, match="10 would fit"):
        places_for(11, free)
    with pytest.raises(CapacityError, match=r"0 would fit\. Close other programs"):
        places_for(1, RESERVE_MB)


@pytest.mark.parametrize("size", [0, -3, 201, 10**9])
def test_class_of_no_sensible_size_is_refused(size: int) -> None:
    with pytest.raises(InputError, match="a number from 1 to 200"):
        places_for(size, PLENTY)


@pytest.mark.parametrize(
    ("free", "most"), [(PLENTY, USUAL_PAGES), (RESERVE_MB + 3 * PAGE_MB, 3), (100.0, 1)]
)
def test_without_a_class_there_is_a_limit_too(free: float, most: int) -> None:
    places = places_for(None, free)
    assert (places.most, places.ready) == (most, 0)


def test_free_memory_is_that_of_a_container_where_it_is_less(tmp_path, monkeypatch) -> None:
    monkeypatch.setattr(capacity, "CONTROL_GROUP", tmp_path)
    machine = free_megabytes()
    assert 0 < machine <= psutil.virtual_memory().total / 1e6
    (tmp_path / "memory.max").write_text("max\n")
    (tmp_path / "memory.current").write_text("5000000\n")
    assert free_megabytes() == pytest.approx(machine, rel=0.5)
    (tmp_path / "memory.max").write_text("12000000\n")
    assert free_megabytes() == 7.0


def test_command_asks_for_memory_before_anything_else(monkeypatch) -> None:
    monkeypatch.setattr(serving, "free_megabytes", lambda: RESERVE_MB)
    with pytest.raises(CapacityError, match="0 would fit"):
        check_options(ServeOptions(house=Path("x"), class_size=30))


class Site(LoggingConfigurable):
    """What the kernels ask of the server that they belong to."""

    root_dir = Unicode("/")
    notebook_path = Unicode("/page.ipynb")
    app = Any()


class Record(HasTraits):
    """A kernel that was never active until it has started."""

    last_activity = Instance(datetime)


@pytest.fixture
def kernels(tmp_path, monkeypatch) -> PageKernels:
    """Kernels that are records only: starting one takes a moment, ending one none."""

    async def start(self, **kwargs) -> str:
        record = self._kernels[kwargs["kernel_id"]] = Record()
        await asyncio.sleep(0.01)
        record.last_activity = utcnow()
        return kwargs["kernel_id"]

    async def end(self, kernel_id, now=False, restart=False) -> None:
        self.remove_kernel(kernel_id)

    async def work_out(self, _name, _kernel_id, **kwargs) -> dict:
        key = await super(PageKernels, self).start_kernel(kernel_name="python3")
        task = asyncio.ensure_future(asyncio.sleep(0.02, result=(["cell"], None)))
        return {"task": task, "renderer": SimpleNamespace(rendered_cache=[]), "kernel_id": key}

    monkeypatch.setattr(AsyncMappingKernelManager, "start_kernel", start)
    for name in ("shutdown_kernel", "_async_shutdown_kernel"):
        monkeypatch.setattr(AsyncMappingKernelManager, name, end)
    monkeypatch.setattr(PageKernels, "_initialize", work_out)
    return PageKernels(parent=Site(), connection_dir=str(tmp_path), most=4, quiet_seconds=0.05)


def age(kernels: PageKernels, key: str, seconds: float) -> None:
    kernels._kernels[key].last_activity = utcnow() - timedelta(seconds=seconds)


async def quiet_again(kernels: PageKernels) -> None:
    """Wait until what was put off to a quiet time is done."""
    soon, loop = kernels._soon, asyncio.get_running_loop()
    await until(lambda: soon is None or soon.cancelled() or soon.when() < loop.time())
    await asyncio.sleep(0)  # what is due runs now
    assert kernels._filling is not None
    await kernels._filling


def test_never_more_kernels_than_the_limit(kernels: PageKernels) -> None:
    async def rush() -> list:
        starts = [kernels.start_kernel(kernel_name="python3") for _ in range(10)]
        return await asyncio.gather(*starts, return_exceptions=True)

    answers = run(rush())
    assert len(kernels.list_kernel_ids()) == 4
    refused = [answer for answer in answers if isinstance(answer, HTTPError)]
    assert [error.status_code for error in refused] == [503] * 6


def test_place_of_a_page_left_longest_is_given_to_who_comes(kernels: PageKernels) -> None:
    async def come() -> None:
        here, never_came, parted, coming = [await kernels.start_kernel() for _ in range(4)]
        for key in (here, parted):
            kernels._kernel_connections[key] = 0
            kernels.notify_connect(key)
            age(kernels, key, 5000)
        kernels.notify_disconnect(parted)
        assert kernels.left_pages() == []
        age(kernels, never_came, 900)
        kernels._parted[parted] -= timedelta(seconds=9)
        assert kernels.left_pages() == [never_came, parted]
        new = await asyncio.gather(kernels.start_kernel(), kernels.start_kernel())
        assert set(kernels.list_kernel_ids()) == {here, coming, *new}
        with pytest.raises(HTTPError):
            await kernels.start_kernel()

    run(come())


def test_who_comes_while_another_page_starts_is_served(kernels: PageKernels) -> None:
    async def come() -> None:
        first = asyncio.create_task(kernels.start_kernel())
        await asyncio.sleep(0)
        assert kernels.list_kernel_ids()
        assert kernels.left_pages() == []
        second = await kernels.start_kernel()
        assert set(kernels.list_kernel_ids()) == {await first, second}

    run(come())


def test_place_of_a_page_whose_start_failed_is_given_to_who_comes(kernels: PageKernels) -> None:
    async def come() -> None:
        kernels._kernels["failed"] = Record()
        kept = [await kernels.start_kernel() for _ in range(3)]
        new = await kernels.start_kernel()
        assert set(kernels.list_kernel_ids()) == {*kept, new}

    run(come())


def test_one_visitor_takes_some_places_only_and_loads_again_in_their_own(
    kernels: PageKernels,
) -> None:
    async def load(who: Who) -> str:
        await kernels.make_room_for(who)
        COMING.set(who)
        return await kernels.start_kernel()

    async def again_and_again() -> None:
        kernels.most = PAGES_EACH + 3
        other = await load(Who(browser="other"))
        eager = Who(browser="eager")
        mine = [await load(eager) for _ in range(PAGES_EACH + 4)][-PAGES_EACH:]
        assert set(kernels.list_kernel_ids()) == {other, *mine}
        for key in mine:
            kernels._kernel_connections[key] = 1
        with pytest.raises(HTTPError) as refused:
            await load(eager)
        assert refused.value.status_code == 429
        await load(Who(browser="third"))

    run(again_and_again())


def test_where_all_places_are_taken_who_loads_again_gets_their_own_place(
    kernels: PageKernels,
) -> None:
    async def load_again() -> None:
        for name in "abcd":
            COMING.set(Who(browser=name))
            await kernels.start_kernel()
        await kernels.make_room_for(Who(browser="b"))
        assert len(kernels.list_kernel_ids()) == 3
        assert kernels.visits.same_browser(Who(browser="b")) == []

    run(load_again())


def test_address_that_has_half_of_the_places_waits_less_long(kernels: PageKernels) -> None:
    async def crowd() -> None:
        keys = []
        for place, address in enumerate(("192.0.2.1", "192.0.2.1", "192.0.2.2")):
            COMING.set(Who(browser=str(place), address=address))
            keys.append(await kernels.start_kernel())
        for key in keys:
            age(kernels, key, kernels.crowd_seconds + 1)
        assert set(kernels.left_pages()) == set(keys[:2])

    run(crowd())


def test_page_that_takes_far_too_much_memory_is_ended(kernels: PageKernels, monkeypatch) -> None:
    async def grow() -> None:
        small, large = [await kernels.start_kernel() for _ in range(2)]
        grown = kernels.get_kernel(large)
        monkeypatch.setattr(
            kernels_module, "megabytes", lambda kernel: 5000.0 if kernel is grown else 90.0
        )
        monkeypatch.setattr(kernels.log, "error", lambda *_told: None)
        await kernels_module.end_oversized(kernels)
        assert kernels.list_kernel_ids() == [small]

    run(grow())


def test_server_looks_for_such_pages_as_long_as_it_runs(monkeypatch) -> None:
    looked: list[int] = []

    async def look(_kernels) -> None:
        looked.append(1)

    async def serve() -> None:
        PageServer._begin(SimpleNamespace(port=1, kernel_manager=SimpleNamespace(ready=0)))
        await until(lambda: len(looked) > 1)

    monkeypatch.delenv("JUPYTER_RUNTIME_DIR", raising=False)
    monkeypatch.setattr(page_server, "end_oversized", look)
    monkeypatch.setattr(page_server, "OVERSIZED_EVERY", 0.01)
    run(serve())


def test_who_loads_again_waits_for_the_end_of_what_they_left(
    kernels: PageKernels, monkeypatch
) -> None:
    async def slow_end(self, kernel_id, now=False, restart=False) -> None:
        await asyncio.sleep(0.05)
        self.remove_kernel(kernel_id)

    async def load_again() -> None:
        keys = [await kernels.start_kernel() for _ in range(4)]
        closing = asyncio.create_task(kernels.shutdown_kernel(keys[0]))
        await asyncio.sleep(0)
        new = await kernels.start_kernel()
        await closing
        assert set(kernels.list_kernel_ids()) == {*keys[1:], new}

    monkeypatch.setattr(AsyncMappingKernelManager, "shutdown_kernel", slow_end)
    run(load_again())


def test_pages_are_ready_and_made_up_for_within_the_limit(
    kernels: PageKernels, monkeypatch
) -> None:
    failed = []
    monkeypatch.setattr(kernels.log, "exception", failed.append)

    async def lesson() -> None:
        kernels.ready = 9
        await kernels.start_filling(2)
        assert kernels.made == len(kernels._pool) == 4
        for item in kernels._pool:
            age(kernels, item.result()["kernel_id"], 5000)
        assert kernels.left_pages() == []
        seen = [(await kernels.get_rendered_notebook("page.ipynb"))[2] for _ in range(4)]
        assert len(set(seen)) == 4
        # they waited for long, but were taken just now
        assert kernels.left_pages() == []
        await quiet_again(kernels)
        assert kernels._pool == []
        with pytest.raises(HTTPError):
            await kernels.start_kernel()
        await kernels.shutdown_kernel(seen[0])
        await quiet_again(kernels)
        assert len(kernels._pool) == 1
        assert len(kernels.list_kernel_ids()) == 4

    run(lesson())
    assert failed == []


def test_dead_kernel_is_not_handed_out(kernels: PageKernels) -> None:
    async def die() -> None:
        kernels.ready = 2
        await kernels.start_filling(1)
        first, second = (item.result()["kernel_id"] for item in kernels._pool)
        kernels._handle_kernel_died(first)
        assert (await kernels.get_rendered_notebook("page.ipynb"))[2] == second

    run(die())


def test_page_that_cannot_be_made_ready_stops_the_filling(
    kernels: PageKernels, monkeypatch
) -> None:
    tried = []

    async def broken(self, *_args, **_kwargs) -> None:
        tried.append(1)
        raise RuntimeError("no more files can be opened")

    async def fill() -> None:
        kernels.ready = 4
        await kernels.start_filling(2)
        assert kernels._pool == []
        assert kernels.made == 0

    monkeypatch.setattr(PageKernels, "_initialize", broken)
    run(fill())
    assert len(tried) == 2


def test_page_that_is_made_ready_while_the_server_ends_is_no_failure(
    kernels: PageKernels, monkeypatch
) -> None:
    told = []
    monkeypatch.setattr(kernels.log, "exception", told.append)

    async def ended_under_it(self, *_args, **_kwargs) -> None:
        await self.shutdown_all()
        raise HTTPError(404, "Kernel does not exist")

    async def fill() -> None:
        kernels.ready = 3
        await kernels.start_filling(1)
        assert kernels._pool == []

    monkeypatch.setattr(PageKernels, "_initialize", ended_under_it)
    run(fill())
    assert told == []


def test_nothing_starts_once_the_server_ends(kernels: PageKernels) -> None:
    async def end() -> None:
        kernels.ready = 3
        await kernels.start_filling(1)
        await kernels.shutdown_all()
        await quiet_again(kernels)
        assert kernels.list_kernel_ids() == []
        assert kernels._pool == []

    run(end())


@pytest.mark.parametrize(
    ("seconds", "text"), [(2.0, "10 seconds"), (44.0, "40 seconds"), (89.0, "90 seconds"), (170.0, "3 minutes")]
)  # fmt: skip
def test_waits_as_people_say_them(seconds: float, text: str) -> None:
    assert wording.span(seconds) == text


def test_progress_is_told_from_what_was_seen() -> None:
    assert wording.progress(0, 32, 9) == "None of 32 pages is ready yet."
    assert wording.progress(8, 32, 20) == "8 of 32 pages are ready; about 60 seconds to go."
    assert wording.progress(32, 32, 80) == "All 32 pages are ready, after 80 seconds."


def test_address_for_others_is_one_that_they_can_reach(monkeypatch) -> None:
    entries = {
        "lo": [SimpleNamespace(family=socket.AF_INET, address="127.0.0.1"),
               SimpleNamespace(family=socket.AF_INET6, address="::1")],
        "lan": [SimpleNamespace(family=socket.AF_INET, address="192.0.2.7"),
                SimpleNamespace(family=socket.AF_INET6, address="2001:db8::7"),
                SimpleNamespace(family=socket.AF_INET6, address="fe80::7%lan")],
        "off": [SimpleNamespace(family=socket.AF_INET, address="169.254.3.4")],
    }  # fmt: skip
    monkeypatch.setattr(psutil, "net_if_addrs", lambda: entries)
    assert network_hosts(ipv6=True) == ["192.0.2.7", "2001:db8::7"]
    assert addresses("0.0.0.0", 8000, "a&b c") == [
        "http://127.0.0.1:8000/?token=a%26b+c",
        "http://192.0.2.7:8000/?token=a%26b+c",
    ]
    assert addresses("::", 8000, "")[2] == "http://[2001:db8::7]:8000/"
    assert addresses("127.0.0.1", 8000, "") == ["http://127.0.0.1:8000/"]


def test_trainer_is_told_who_can_open_the_page() -> None:
    options = ServeOptions(house=Path("x"), class_size=3)
    assert for_others(options, ["http://192.0.2.7:1/"])[1] == "  http://192.0.2.7:1/"
    assert "Only this machine" in for_others(options, [])[0]
    wide = ServeOptions(house=Path("x"), class_size=3, listen="0.0.0.0")
    assert "No network was found" in for_others(wide, [])[0]
    assert for_others(ServeOptions(house=Path("x")), []) == []


def test_folders_stand_where_sockets_have_room(tmp_path: Path, monkeypatch) -> None:
    """As on a system whose usual place for temporary files has a long name of its own."""
    long = tmp_path / ("T" * 60)
    long.mkdir()
    monkeypatch.setattr(serving.tempfile, "tempdir", str(long))
    with serving.own_folder() as folder:
        assert Path(folder).parent == Path(serving.SHORT_PLACE)
        assert serving.has_room_for_sockets(folder)
        assert Path(folder).stat().st_mode & 0o077 == 0
        settings = serving.server_settings(
            ServeOptions(house=tmp_path), 1, places_for(None, PLENTY), folder
        )
        assert settings["KernelManager"]["transport"] == "ipc"
    monkeypatch.setattr(serving, "SHORT_PLACE", str(tmp_path / "nowhere"))
    with serving.own_folder() as folder:
        assert Path(folder).parent == long
        settings = serving.server_settings(
            ServeOptions(house=tmp_path), 1, places_for(None, PLENTY), folder
        )
        assert settings["KernelManager"]["transport"] == "tcp"
