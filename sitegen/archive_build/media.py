"""Photographs and sound recordings: what is wrong with them, and their files."""

from __future__ import annotations

from sitegen.archive_build.codecs import typed_codec
from sitegen.archive_build.parsed import StoredFault, stored
from sitegen.load import Facts
from sitegen.pages import addresses
from sitegen.pages.pictures import bare_pictures, picture_fault, picture_sizes
from sitegen.pages.sounds import bare_sound, sound_fault
from sitegen.rebuild import Ask, Output, Step, json_codec

Outputs = tuple[Output, ...]


def _media_faults(ask: Ask, *parts: str) -> tuple[StoredFault, ...]:
    """What is wrong with one file that a record names."""
    path = "/".join(parts)
    data = ask.file(f"archive:{path}")
    look = picture_fault if parts[0] == "photos" else sound_fault
    found = look(data, path)
    return () if found is None else (stored(found),)


def _all_media_faults(ask: Ask) -> tuple[StoredFault, ...]:
    """What is wrong with all files that records name, where they are at all."""
    present = set(ask("media"))
    all_facts: tuple[Facts, ...] = ask("all_facts")
    named = {path for facts in all_facts for _, path in facts.media}
    wanted = [("media_faults", *path.split("/")) for path in sorted(named & present)]
    return tuple(fault for faults in ask.all(wanted) for fault in faults)


def _shown_photos(ask: Ask) -> list[str]:
    each = ask.all([("bare_device", name) for name in ask("shown", "device")])
    return sorted({photo.file for device in each for photo in device.photos})


def _photo(ask: Ask, *parts: str) -> Outputs:
    """A photograph in all its sizes, without what its camera wrote into it."""
    file = "/".join(parts)
    largest, *smaller = bare_pictures(
        ask.file(f"archive:photos/{file}"), f"photos/{file}"
    )
    return (
        Output(addresses.photo(file).file, largest.data),
        *(
            Output(addresses.smaller_photo(file, each.width).file, each.data)
            for each in smaller
        ),
    )


def _picture_sizes(ask: Ask, *parts: str) -> list[list[int]]:
    """Width and height of each size of a photograph, the largest first."""
    data = ask.file(f"archive:photos/{'/'.join(parts)}")
    return [list(size) for size in picture_sizes(data)]


def _shown_sounds(ask: Ask) -> list[str]:
    each = ask.all([("bare_device", name) for name in ask("shown", "device")])
    return sorted({sound.file for device in each for sound in device.audio})


def _sound(ask: Ask, *parts: str) -> Outputs:
    """A sound recording without its tags."""
    file = "/".join(parts)
    data = bare_sound(ask.file(f"archive:audio/{file}"), f"audio/{file}")
    return (Output(addresses.recording(file).file, data),)


def media_targets(ask: Ask) -> list[list[str]]:
    """Return the steps that write every photograph and recording shown."""
    return [
        *(["photo", *name.split("/")] for name in ask("shown_photos")),
        *(["sound", *name.split("/")] for name in ask("shown_sounds")),
    ]


def media_steps() -> tuple[Step, ...]:
    """Return the steps for photographs and recordings."""
    faults = typed_codec(tuple[StoredFault, ...])
    return (
        Step("media_faults", _media_faults, faults),
        Step("all_media_faults", _all_media_faults, faults),
        Step("shown_photos", _shown_photos, json_codec),
        Step("picture_sizes", _picture_sizes, json_codec),
        Step("photo", _photo, writes=True),
        Step("shown_sounds", _shown_sounds, json_codec),
        Step("sound", _sound, writes=True),
    )
