"""Nothing that the last release published is dropped unseen."""

from __future__ import annotations

from sitegen.load import ArchiveIndex, Facts, last_release
from sitegen.load.facts import ReleaseFacts
from sitegen.load.release_checks import release_problems
from sitegen.model import Addresses


def _index(
    release: ReleaseFacts,
    present: tuple[tuple[str, str], ...] = (),
    held: tuple[str, ...] = (),
    addresses: tuple[dict[str, str], ...] = (),
) -> ArchiveIndex:
    records = {
        ("release", release.date): Facts("release", release.date, release=release)
    }
    records |= {key: Facts(*key, held=key[1] in held) for key in present}
    left = Addresses.model_validate({"addresses": addresses})
    return ArchiveIndex(records, frozenset(records), addresses=left)


RELEASE = ReleaseFacts("2026-03-01", (("device", ("a", "b")),), (("run", ("r",)),))
GONE = {"kind": "run", "id": "r", "gone": "Lost.", "date": "2026-02-01"}
BOTH = (("device", "a"), ("device", "b"))


def test_all_there_is_no_problem() -> None:
    """Records that are there and addresses that are listed satisfy the release."""
    assert release_problems(_index(RELEASE, BOTH, addresses=(GONE,))) == ()


def test_each_way_of_dropping_is_told() -> None:
    """Lost, held and forgotten ids are three problems, each at its place."""
    found = release_problems(_index(RELEASE, BOTH[:1], held=("a",)))
    assert [(each.code, each.path, each.values["id"]) for each in found] == [
        ("released-held", ("ids", "device", 0), "a"),
        ("released-lost", ("ids", "device", 1), "b"),
        ("released-forgotten", (), "r"),
    ]


def test_the_newest_release_decides() -> None:
    """Of several releases the one with the latest day is asked, whatever its name."""
    old = Facts("release", "zz", release=ReleaseFacts("2025-01-01", ()))
    new = Facts("release", "aa", release=RELEASE)
    index = ArchiveIndex({("release", "zz"): old, ("release", "aa"): new})
    assert last_release(index) == ("aa", RELEASE)
    assert last_release(ArchiveIndex()) is None
