"""What a browser may do with a page of ours, told in the head of every answer; no page here."""

from typing import Any

from tornado import web
from tornado.websocket import WebSocketHandler

LONGEST_ADDRESS = 16_000
"""Letters of an address that is answered; a link that holds every plan of a house has fewer than 8,000."""
TOO_LONG = 414
POLICY = {
    "default-src": "'none'",
    # scripts come as files of this server, and as the widget's own text from the kernel, never inside the page
    "script-src": "'self' blob:",
    "style-src": "'self' 'unsafe-inline'",
    "img-src": "'self' data: blob:",
    "media-src": "'self' data: blob:",
    "font-src": "'self' data:",
    "worker-src": "'self' blob:",
    "object-src": "'none'",
    "base-uri": "'none'",
    "form-action": "'self'",
    "frame-ancestors": "'self'",
}
HEADERS = {
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Permissions-Policy": "camera=(), microphone=(), geolocation=(), payment=(), usb=()",
    "Cross-Origin-Resource-Policy": "same-origin",
}


def content_policy(host: str) -> str:
    """The policy for a page under a host name; some browsers count a connection's scheme as another place."""
    plain = host if host and all(c.isalnum() or c in ".:-[]" for c in host) else ""
    connect = f"'self' ws://{plain} wss://{plain}" if plain else "'self'"
    told = {**POLICY, "connect-src": connect}
    return "; ".join(f"{name} {value}" for name, value in told.items())


class Told(web.RequestHandler):
    """Tells the browser what it may do, whatever is answered."""

    def set_default_headers(self) -> None:
        """Set what is in the head of every answer."""
        super().set_default_headers()
        for name, value in HEADERS.items():
            self.set_header(name, value)
        self.set_header("Content-Security-Policy", content_policy(self.request.host))
        self.clear_header("Server")

    def prepare(self) -> Any:
        """Refuse an address that no link of ours has."""
        if len(self.request.uri or "") > LONGEST_ADDRESS:
            raise web.HTTPError(TOO_LONG)
        return super().prepare()


class _Files(web.StaticFileHandler):
    """Files that come with the page server; an address of another form is one that is not there."""

    def parse_url_path(self, url_path: str) -> str:
        """Place of the file that an address names."""
        try:
            return str(super().parse_url_path(url_path))
        except (ValueError, AssertionError):
            raise web.HTTPError(404) from None


def told(handler: type) -> type:
    """A handler that tells the browser what it may do."""
    if issubclass(handler, WebSocketHandler | Told):
        return handler
    ours = (Told, _Files) if issubclass(handler, web.StaticFileHandler) else (Told,)
    return type(handler.__name__, (*ours, handler), {})
