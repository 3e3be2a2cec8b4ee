"""Reading pages back as a browser would see their structure, without one."""

from __future__ import annotations

from html.parser import HTMLParser

VOID = {"meta", "img", "br", "hr", "input", "link", "path", "line", "rect", "circle"}


class Read(HTMLParser):
    """Ids, links, references between elements, attributes, text, and whether every element is closed in order."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.ids, self.links, self.refs, self.attributes, self.tags = [], [], [], [], []
        self.open, self.wrong, self.words, self.inside = [], [], [], {}
        self.feed(text)
        self.close()
        self.wrong += [f"{tag} is never closed" for tag in self.open]

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        self.attributes += [(tag, name, value or "") for name, value in attrs]
        for name, value in attrs:
            if name == "id":
                self.ids.append(value)
            elif name in ("href", "src"):
                self.links.append(value)
            elif name in ("aria-labelledby", "aria-describedby", "for"):
                self.refs += value.split()
        if tag not in VOID or tag == "line":
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.handle_starttag(tag, attrs)
        if self.open and self.open[-1] == tag:
            self.open.pop()

    def handle_endtag(self, tag):
        if not self.open or self.open[-1] != tag:
            self.wrong.append(f"</{tag}> closes {self.open[-1:]}")
        elif self.open:
            self.open.pop()

    def handle_data(self, data):
        if not {"style", "script"} & set(self.open):
            self.words.append(data)
        for tag in self.open:
            if tag in ("title", "desc", "style"):
                self.inside.setdefault(tag, []).append(data)


def read(pages):
    return {name: Read(content.decode("utf-8")) for name, content in pages.items() if name.endswith(".html")}
