"""Read a page back as a browser would: its elements, their attributes, and its text."""

from dataclasses import dataclass, field
from html.parser import HTMLParser


@dataclass
class Page(HTMLParser):
    """The elements of a page in order, and its visible text."""

    elements: list[tuple[str, dict[str, str | None]]] = field(default_factory=list)
    words: list[str] = field(default_factory=list)
    styles: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        super().__init__()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        in_style = bool(self.elements) and self.elements[-1][0] == "style"
        (self.styles if in_style else self.words).append(data)

    @property
    def text(self) -> str:
        """All visible text with single spaces."""
        return " ".join("".join(self.words).split())

    def named(self, tag: str) -> list[dict[str, str | None]]:
        """Return the attributes of every element `tag`."""
        return [attributes for name, attributes in self.elements if name == tag]


def read(html: str) -> Page:
    """Parse a page."""
    page = Page()
    page.feed(html)
    page.close()
    return page
