"""What a measured photo says as readings of the tree."""

from __future__ import annotations

from statistics import median

from rootcase.records.tree_photo import PhotoReading, TreePhoto


def photo_readings(photo: TreePhoto) -> tuple[PhotoReading, ...]:
    """Which readings of the catalogue does a photo give?

    Parameters
    ----------
    photo : as measured, or as a person mended it.

    Returns
    -------
    Of leaves the area of each [mm2], repeated under its number, and one greenness, the median of those that are green
    [-, 0 to 1]; of a crown its share of gaps [-, 0 to 1]; of soil its nearest chip, and whether it was moist or dry.
    Nothing where nothing counts.

    Raises
    ------
    Nothing.

    Notes
    -----
    The catalogue's greenness is one figure a photo: a leaf that is not green has no index and does not pull at it.
    The intervals stay with the photo; a reading bears its kind's error.

    References
    ----------
    JUDGEMENT for the median.

    Examples
    --------
    >>> from datetime import date
    >>> from rootcase.records.tree_photo import LeafOnCard
    >>> leaves = tuple(LeafOnCard(number=at, area_mm2=1000.0 * at, low_mm2=990.0 * at, high_mm2=1010.0 * at,
    ...                           x_mm=40.0 * at, y_mm=70.0, dark_green=green)
    ...                for at, green in ((1, 0.5), (2, None), (3, 0.6)))
    >>> photo = TreePhoto(id="p", tree_id="t", shows="leaves", photo="0" * 64, day=date(2016, 6, 1), by="rs",
    ...                   leaves=leaves)
    >>> [(each.kind, each.number, each.value) for each in photo_readings(photo)][2:]
    [('leaf_area_photo', 3, 3000.0), ('leaf_colour_photo', 1, 0.55)]
    """
    found = [PhotoReading("leaf_area_photo", leaf.number, leaf.area_mm2) for leaf in photo.leaves]
    greens = [leaf.dark_green for leaf in photo.leaves if leaf.dark_green is not None]
    found += [PhotoReading("leaf_colour_photo", 1, median(greens))] if greens else []
    found += [PhotoReading("crown_gap_photo", 1, photo.crown.gap_share)] if photo.crown else []
    found += [PhotoReading("soil_colour_photo", 1, choice=photo.soil.chip),
              PhotoReading("soil_colour_state", 1, choice=photo.soil.state)] if photo.soil else []
    return tuple(found)
