"""Every edit is found and named, and nothing else is."""

import random

import pytest

from tco.audit.audit import audit_book
from tco.audit.cells import read_book
from tests.audit.books import edit, office_converted, told
from tests.audit.mutations import KINDS, mutations

EACH = 2 * len(KINDS)  # edits of one file


def check_all_found(made, seed, folder, *, through_office=False):
    changes, wanted = mutations(made, random.Random(seed), EACH)  # noqa: S311 a seed, not a secret
    path = edit(made.path, folder, changes, f"edited_{seed}.xlsx")
    if through_office:
        path = office_converted(path, folder)
    found = audit_book(read_book(path), made.expected)
    assert told(found) == wanted
    assert found.touched
    assert {one.kind for one in found.findings if one.touches} <= {
        "overwritten formula", "edited formula", "deleted formula",
    }  # fmt: skip


@pytest.mark.parametrize("seed", range(4))
def test_every_edit_of_a_small_workbook_is_found(small, seed, tmp_path):
    check_all_found(small, seed, tmp_path)


def test_every_edit_of_a_larger_workbook_is_found(rich, tmp_path):
    check_all_found(rich, 7, tmp_path)


def test_every_edit_is_found_after_another_program_calculated_and_saved_it(small, tmp_path):
    check_all_found(small, 11, tmp_path, through_office=True)


@pytest.mark.campaign
@pytest.mark.parametrize("seed", range(100, 117))
@pytest.mark.parametrize("which", ["small", "start", "rich"])
def test_every_edit_of_many_is_found(which, seed, tmp_path, request):
    check_all_found(request.getfixturevalue(which), seed, tmp_path, through_office=seed % 4 == 0)
