"""Pages from templates, and pictures within them: nothing that a page shows is fetched from elsewhere."""

from __future__ import annotations

from base64 import b64encode
from importlib.resources import files
from typing import Any


def rendered(package: str, template: str, **values: Any) -> bytes:
    """A page in UTF-8 from a template beside some code."""
    from jinja2 import Environment, FunctionLoader, StrictUndefined

    def beside(name: str) -> str:
        return (files(package) / name).read_text("utf-8")

    page = Environment(
        loader=FunctionLoader(beside),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    ).get_template(template)
    return page.render(**values).encode()


def data_address(picture: bytes) -> str:
    """A PNG or JPEG picture as an address that needs no network; empty for no picture."""
    kind = "png" if picture.startswith(b"\x89PNG") else "jpeg"
    return f"data:image/{kind};base64,{b64encode(picture).decode()}" if picture else ""
