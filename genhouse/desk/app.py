"""The desk as a web application: which address asks for what."""

from __future__ import annotations

import asyncio
import gc
from collections.abc import AsyncIterator, Awaitable, Callable, Collection, Coroutine, Sequence
from contextlib import asynccontextmanager
from importlib.resources import files
from typing import Any

from jinja2 import Environment, PackageLoader
from starlette.applications import Starlette
from starlette.requests import ClientDisconnect, Request
from starlette.responses import Response
from starlette.routing import Route

from genhouse.core.errors import GenhouseError
from genhouse.core.version import __version__
from genhouse.desk.address import recipe_at, recipe_in, words_of
from genhouse.desk.bench import Bench
from genhouse.desk.guard import LARGEST, LOOPBACK, TOO_LARGE, App, Guard, TooLargeError
from genhouse.desk.refusals import refused
from genhouse.desk.side_by_side import MOST
from genhouse.desk.table import LATE, Table
from genhouse.desk.task import BUSY, NO_WAY, UNKNOWN, WRONG, Answer, Task, sentence, told
from genhouse.generate.brief_schema import schema
from genhouse.model.brief import STAGE_NAMES, Brief, Recipe
from genhouse.outputs.maquette import maquette
from genhouse.traditions.shelf import ALL, check_name, names

VISITOR, KIND, STATUS = "x-desk-visitor", "x-desk-kind", "x-desk-status"
"""Headers: which tab asks, of which kind its wish is, and what came of it."""
LONGEST = 40
"""Letters of either."""
STATIC = {"css": "text/css; charset=utf-8", "js": "text/javascript; charset=utf-8"}
MODEL: dict[str, Callable[[], str]] = {
    "maquette.js": lambda: f"{maquette.script()}\nexport {{ mountMaquette }};\n",
    "maquette.css": maquette.style,
}
"""The model that turns, as a module and a style sheet of their own."""
OPTIONS: dict[str, tuple[str, ...]] = {
    "picture": ("look", "size", "night"),
    "plan": ("level",),
    "about": (),
    "model": (),
    "over": ("what", "level"),
    "alone": ("fields",),
    "near": (),
    "again": ("keep", "number"),
    "pick": ("look", "u", "v"),
    "ask": ("x", "y", "level"),
    "moved": ("x", "y", "z"),
    "zip": ("names",),
    "file": ("file", "names"),
    "files": ("names",),
    "names": (),
    "village": ("size", "houses", "moves", "ways"),
}
"""What may be asked for of a house, and the words that go with it."""
IN_WORDS = ("zip", "file", "files")
"""What may be sent for in words of one's own: a table of names is too long for an address."""
PAGES = {"": "page.html.j2", "map": "map.html.j2"}
"""Pages by their address."""
Asked = Callable[[Request], Awaitable[Answer]]
Words = tuple[tuple[str, str], ...]


def desk(
    benches: Sequence[Bench],
    folder: str = "",
    hosts: Collection[str] = LOOPBACK,
    *,
    numbers: bool = False,
) -> tuple[App, Table]:
    """The application, and its table.

    folder: into which houses are saved; none: none are.  hosts, numbers: see ``Guard``.
    """
    table = Table(benches)
    pages = {f"/{name}": _page(file, bool(folder)) for name, file in PAGES.items()}

    async def shown(request: Request) -> Response:
        return Response(pages[request.url.path], media_type="text/html")

    async def save(request: Request) -> Answer:
        form = await _form(request)
        said = dict(form)
        options = {"into": folder, "name": said.get("name", ""), "names": said.get("names", "")}
        recipe = recipe_in(form)
        done: Answer = await table.ask(_task("save", recipe, options), _visitor(request))
        return done

    async def compare(request: Request) -> Answer:
        houses = request.query_params.getlist("house")
        if not 0 < len(houses) <= MOST:
            return sentence(f"tray: it holds from 1 to {MOST} houses", WRONG)
        return await _compared(table, [recipe_at(text) for text in houses], request)

    routes = [
        *(Route(path, shown) for path in pages),
        Route("/static/{name}", _static),
        Route("/schema", _guarded(_schema)),
        Route("/compare", _guarded(compare)),
        *(Route(f"/{work}", _guarded(_asked(table, work))) for work in OPTIONS),
        *(Route(f"/{work}", _guarded(_sent(table, work)), methods=["POST"]) for work in IN_WORDS),
        *([Route("/save", _guarded(save), methods=["POST"])] if folder else ()),
    ]
    app = Starlette(
        routes=routes, lifespan=_lifespan(table), exception_handlers={404: _nowhere, 405: _no_way}
    )
    return Guard(app, hosts, numbers=numbers), table


def _lifespan(table: Table) -> Callable[[Starlette], Any]:
    @asynccontextmanager
    async def lasts(_app: Starlette) -> AsyncIterator[None]:
        warm = Task("begin", Recipe(seed=7))
        for number, bench in enumerate(table.benches):
            bench.begin(-number, warm)
        try:
            yield
        finally:
            table.close()
            gc.collect()  # what the benches were lent is given back before a stop ends this at once

    return lasts


def _guarded(handler: Asked) -> Callable[[Request], Awaitable[Response]]:
    """Refusals are answers too."""

    async def asked(request: Request) -> Response:
        try:
            answer = await handler(request)
        except GenhouseError as error:
            answer = refused(error)
        except ClientDisconnect:
            answer = LATE
        except TooLargeError:
            answer = sentence("What was sent is too large.", TOO_LARGE)
        return _response(answer, request)

    return asked


def _asked(table: Table, work: str) -> Asked:
    async def asked(request: Request) -> Answer:
        task = _task_of(work, words_of(request.url.query))
        kind = request.headers.get(KIND, "")[:LONGEST]
        done: Answer = await _while_heard(request, table.ask(task, _visitor(request), kind))
        return done

    return asked


async def _while_heard(request: Request, work: Coroutine[Any, Any, Any]) -> Any:
    """What comes of some work; it is given up where nobody listens any more."""
    asked = asyncio.ensure_future(work)
    gone = asyncio.ensure_future(_gone(request))
    await asyncio.wait({asked, gone}, return_when=asyncio.FIRST_COMPLETED)
    gone.cancel()
    if asked.done():
        return asked.result()
    asked.cancel()
    return LATE


async def _gone(request: Request) -> None:
    while (await request.receive())["type"] != "http.disconnect":
        pass


def _sent(table: Table, work: str) -> Asked:
    """The same of what is sent as a form."""

    async def sent(request: Request) -> Answer:
        task = _task_of(work, await _form(request))
        done: Answer = await table.ask(task, _visitor(request))
        return done

    return sent


async def _form(request: Request) -> Words:
    """What was sent, as the words of a query."""
    return words_of((await request.body()).decode("utf-8", "replace"), LARGEST)


async def _compared(table: Table, recipes: Sequence[Recipe], request: Request) -> Answer:
    """Each house is measured by itself, on any bench; then all are compared."""
    visitor = _visitor(request)
    asked = [table.ask(Task("row", recipe), visitor) for recipe in recipes]
    rows = await asyncio.gather(*asked)
    refusal = next((row for row in rows if isinstance(row, Answer)), None)
    if refusal:
        return refusal
    first, *others = recipes
    task = Task("compare", first, (("others", tuple(others)),), (("rows", tuple(rows)),))
    done: Answer = await table.ask(task, visitor)
    return done


def _task_of(work: str, words: Words) -> Task:
    """What the words of a query ask for.  Raises BriefError."""
    said = dict(words)
    options = {name: said[name] for name in OPTIONS[work] if name in said}
    return _task(work, recipe_in(words), options)


def _task(work: str, recipe: Recipe, options: dict[str, str]) -> Task:
    return Task(work, recipe, tuple(sorted(options.items())))


def _visitor(request: Request) -> str:
    return request.headers.get(VISITOR, "")[:LONGEST]


def _response(answer: Answer, request: Request | None = None) -> Response:
    """The desk's own script is told what is refused in a header: a browser notes every other status
    as a failure of the page, which a refusal is not."""
    head = {"cache-control": "no-store" if answer.status != 200 else "private, max-age=600"}
    if answer.status == BUSY:
        head["retry-after"] = "1"
    if answer.name:
        head["content-disposition"] = f'attachment; filename="{answer.name}"'
    own = request is not None and VISITOR in request.headers
    if own:
        head[STATUS] = str(answer.status)
    return Response(answer.body, 200 if own else answer.status, head, media_type=answer.kind)


async def _schema(request: Request) -> Answer:
    """What a brief may say in a way of building, what it says by itself, and the stages that draw."""
    tradition = request.query_params.get("tradition", Brief().tradition)
    check_name("tradition", tradition, names(), where="tradition")
    asked = schema(tradition)
    asked["$defs"]["Brief"]["properties"]["tradition"]["enum"] = list(names())
    return told({"schema": asked, "stages": STAGE_NAMES, "tradition": tradition})


async def _static(request: Request) -> Response:
    name = request.path_params["name"]
    own = {entry.name: entry for entry in files("genhouse.desk").joinpath("static").iterdir()}
    kind = STATIC.get(name.rpartition(".")[2])
    if kind is None or (name not in own and name not in MODEL):
        return _response(sentence("There is no such page.", UNKNOWN))
    text = MODEL[name]() if name in MODEL else own[name].read_text("utf-8")
    return Response(text, media_type=kind, headers={"cache-control": "no-cache"})


async def _nowhere(_request: Request, _error: Exception) -> Response:
    return _response(sentence("There is no such page.", UNKNOWN))


async def _no_way(_request: Request, _error: Exception) -> Response:
    return _response(sentence("That page is not asked in that way.", NO_WAY))


def _page(file: str, saves: bool) -> str:
    environment = Environment(loader=PackageLoader("genhouse.desk", "."), autoescape=True)
    return environment.get_template(file).render(
        stages=STAGE_NAMES,
        version=__version__,
        saves=saves,
        ways=sorted(names(), key=lambda name: name != Brief().tradition),
        every=ALL,
    )
