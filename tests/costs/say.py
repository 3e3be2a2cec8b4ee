"""Small scenarios as text, built and evaluated through the public interface."""

import json

from tco.assemble import build
from tco.model.evaluate import evaluate
from tco.scenario.load import load_text

HEAD = """\
title: Case
start: 2027-01
money: {discount_rate: 0%}
"""


class Said:
    """What a text means: figures by key."""

    def __init__(self, text):
        self.scenario = load_text(text)
        self.model = build(self.scenario)
        self.values = evaluate(self.model)

    def again(self, replace):
        return evaluate(self.model, replace)

    def row(self, key, entry=0):
        return [float(x) for x in self.values[key][0, entry]]

    def figure(self, key, entry=0):
        (value,) = self.row(key, entry)
        return value

    def sum(self, key):
        return float(self.values[key].sum())

    def total(self, candidate):
        return self.figure(f"{candidate}.measures.total")

    def worth(self, candidate):
        return self.figure(f"{candidate}.measures.present_value")


def say(text):
    """Evaluate a text; what is left unsaid there of title, start and money is said here: nothing is discounted."""
    unsaid = [line for line in HEAD.splitlines() if f"\n{line.split(':')[0]}:" not in f"\n{text}"]
    return Said("\n".join([*unsaid, text]))


def said(data):
    """Evaluate plain data."""
    return Said(json.dumps(data))
