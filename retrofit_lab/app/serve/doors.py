"""Who is let in, by the token of a link or by two spoken words; everybody else gets a page that asks for them."""

import errno
import hashlib
import secrets
from collections.abc import Iterator
from typing import Any, cast
from urllib.parse import urlsplit

from jupyter_server.auth.decorator import allow_unauthenticated
from jupyter_server.auth.identity import IdentityProvider, User
from jupyter_server.base.handlers import APIHandler, JupyterHandler
from tornado import web, websocket
from traitlets import Unicode

from retrofit_lab.app.serve.server_pages import NO_DISK, entry_page, language_of, problem_page
from retrofit_lab.app.serve.spoken_code import Tries, same_code

ENTRY = "/enter"
REFUSED, TOO_MANY = 403, 429
DISK_IS_FULL = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)
"""What systems say where a disk, a share of it or a file takes no more."""


class Doors(IdentityProvider):
    """Lets in who brings the token or the words, and remembers them by a cookie."""

    code = Unicode("", config=True)
    """The two spoken words; nothing where only a token counts."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.tries = Tries()

    @property
    def auth_enabled(self) -> bool:
        """Whether anyone is asked for anything."""
        return bool(self.token)

    def get_handlers(self) -> list[tuple[str, object]]:
        """Our page alone: no log-in page, no log-out page."""
        return [(ENTRY, EntryHandler)] if self.auth_enabled else []

    async def get_user_token(self, handler: web.RequestHandler) -> User | None:
        """Who comes by a link."""
        given = brought(handler)
        if not self.token or not given:
            return None
        known = self.get_user_cookie(handler)
        if isinstance(known, User):
            return known if self._right(given) else None
        return self.let_in(handler, given)

    def let_in(self, handler: web.RequestHandler, given: str) -> User | None:
        """Someone who brings the words or the token; no one after too many wrong tries."""
        who = str(handler.request.remote_ip)
        if self.tries.wait(who):
            return None
        if self._right(given):
            return self.generate_anonymous_user(handler)
        self.tries.missed(who)
        return None

    def _right(self, given: str) -> bool:
        by_token = secrets.compare_digest(given.strip().encode(), self.token.encode())
        return by_token or same_code(given, self.code)


def doors_of(handler: JupyterHandler) -> Doors:
    """The doors of the server that a handler belongs to."""
    return cast("Doors", handler.identity_provider)


def brought(handler: web.RequestHandler) -> str:
    """Token or words that a link carries."""
    return str(handler.get_query_argument("token", "") or handler.get_query_argument("code", ""))


def cookie_secret(token: str) -> bytes:
    """Key of the cookies: as long as the token stays, who was let in stays so, also after a restart."""
    return hashlib.sha256(b"retrofit-lab cookies " + token.encode()).digest()


class InOurWords(web.RequestHandler):
    """Says what is wrong on a page of ours, never on one of the server's own."""

    def write_error(self, status_code: int, **kwargs: Any) -> None:
        """Show a sentence instead."""
        _, error, _ = kwargs.get("exc_info", (None, None, None))
        if any(map(tells_of_a_full_disk, causes(error))):
            status_code = NO_DISK
            self.set_status(status_code)
        self.set_header("Content-Type", "text/html; charset=utf-8")
        self.set_header("Cache-Control", "no-store")
        self.finish(problem_page(status_code, spoken(self)))


def causes(error: BaseException | None) -> Iterator[BaseException]:
    """An error and what led to it, the last one first."""
    while error is not None:
        yield error
        error = error.__cause__ or error.__context__


def tells_of_a_full_disk(error: BaseException) -> bool:
    """Whether something could not be written for want of room."""
    return isinstance(error, OSError) and error.errno in DISK_IS_FULL


def in_our_words(handler: type[web.RequestHandler]) -> type[web.RequestHandler]:
    """A handler of the page server that speaks our words when something is wrong; programs get what they know."""
    if issubclass(handler, APIHandler | InOurWords | websocket.WebSocketHandler):
        return handler
    return type(handler.__name__, (InOurWords, handler), {})


class EntryHandler(InOurWords, JupyterHandler):
    """Takes the two words and opens the page."""

    @allow_unauthenticated
    def get(self) -> None:
        """Ask for the words, or go on where they are known."""
        if self.current_user:
            self.redirect(own_place(self.get_query_argument("next", "/")))
        else:
            ask_in(self, own_place(self.get_query_argument("next", "/")))

    @allow_unauthenticated
    def post(self) -> None:
        """Look at the words."""
        doors, place = doors_of(self), own_place(self.get_body_argument("next", "/"))
        user = self.current_user or doors.let_in(self, self.get_body_argument("words", ""))
        if user is None:
            ask_in(self, place, wrong=True)
            return
        doors.set_login_cookie(self, user)
        self.redirect(place)


def ask_in(handler: JupyterHandler, place: str, *, wrong: bool = False) -> None:
    """Answer with the page that asks for the words; says so where wrong ones were given, or too many."""
    doors = doors_of(handler)
    wait = doors.tries.wait(str(handler.request.remote_ip))
    said = "wait" if wait else "wrong" if wrong else "stale" if brought(handler) else ""
    handler.set_status(TOO_MANY if wait else REFUSED)
    handler.set_header("Content-Type", "text/html; charset=utf-8")
    handler.set_header("Cache-Control", "no-store")
    form = {"field": "_xsrf", "value": handler.xsrf_token.decode(), "place": place}
    handler.finish(entry_page(spoken(handler), said, form, seconds=wait))


def own_place(text: str) -> str:
    """A path of this server without what let someone in; the page itself where it is anything else."""
    parts = urlsplit(text)
    if parts.scheme or parts.netloc or not text.startswith("/") or text.startswith(("//", "/\\")):
        return "/"
    kept = [one for one in parts.query.split("&") if one.partition("=")[0] not in ("token", "code")]
    query = "&".join(one for one in kept if one)
    path = "/" if parts.path == ENTRY else parts.path
    return f"{path}?{query}" if query else path


def spoken(handler: web.RequestHandler) -> str:
    """Language of a visitor: the address's, or the browser's first."""
    asked = handler.get_query_argument("language", "")
    return language_of(asked, handler.request.headers.get("Accept-Language", ""))
