"""Says of each picture of the walk where it was taken; the pictures themselves are read elsewhere."""

from collections.abc import Sequence

from retrofit_lab.app.report.pictures import Picture
from retrofit_lab.app.shared.words import Words
from retrofit_lab.proposals.contractors import walk_stops


def photos(found: Sequence[Picture], words: Words) -> list[dict[str, str]]:
    """Pictures in the order of the walk, each with the stop at which it was taken and its caption.

    One whose stop the walk does not know comes last, without a place.
    """
    titles = {stop["key"]: words.names.stop(stop["key"], stop["title"]) for stop in walk_stops()}
    order = {key: at for at, key in enumerate(titles)}
    ordered = sorted(found, key=lambda photo: order.get(photo.stop, len(order)))
    return [
        {
            "address": photo.address,
            "place": titles.get(photo.stop, ""),
            "caption": photo.caption,
        }
        for photo in ordered
    ]
