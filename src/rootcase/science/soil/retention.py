"""How evenly a soil's pores are sized, after Brooks and Corey, and what that says of suction."""

from __future__ import annotations

from typing import NamedTuple

from rootcase.science.lanes import Lanes, Numbers, within
from rootcase.science.soil.by_class import Names, figures_by_name


class BrooksCorey(NamedTuple):
    """Pore-size index lambda [-], larger where the pores are alike; suction of the widest pore [mm]."""

    pore_size_index: Lanes
    bubbling_head_mm: Lanes


def brooks_corey_of_class(texture: Names) -> BrooksCorey:
    """Pore-size index and bubbling head of a texture class.

    Parameters
    ----------
    texture : name of a class or one per lane, as `texture_class` gives it; silt is not in the source

    Returns
    -------
    BrooksCorey(pore_size_index, bubbling_head_mm). [-], [mm]

    Raises
    ------
    Missing : the source has no such class.

    Notes
    -----
    Means of a class; single soils of it differ several-fold.

    References
    ----------
    Rawls and others 1992: table soil/brooks_corey_rawls (seen in a public package; the handbook not read).

    Examples
    --------
    >>> [float(part) for part in brooks_corey_of_class("loam")]
    [0.252, 111.5]
    """
    return BrooksCorey(*figures_by_name("soil/brooks_corey_rawls", "texture", texture, BrooksCorey._fields))


def front_suction_mm(pore_size_index: Numbers, bubbling_head_mm: Numbers) -> Lanes:
    """The suction at a wetting front, as Green and Ampt's law asks for it.

    Parameters
    ----------
    pore_size_index : scalar or one per lane. [-], 0 to 10
    bubbling_head_mm : same shape. [mm], 0 to 10,000

    Returns
    -------
    same shape. [mm]

    Raises
    ------
    OutOfRange : a value leaves its range.

    Notes
    -----
    psi_f = (2 + 3 lambda) / (1 + 3 lambda) h_b / 2. From the classes of 1992 it gives 1 to 3 % less than the suctions
    printed for the same classes in 1983; see `green_ampt_soil`.

    References
    ----------
    Rawls and others 1992 (form seen in the code of a public package, landlab 2.11.0; the handbook not read).

    Examples
    --------
    >>> round(float(front_suction_mm(0.252, 111.5)), 1)
    87.5
    """
    three = 3.0 * within("pore_size_index", pore_size_index, 0.0, 10.0, "")
    head = within("bubbling_head_mm", bubbling_head_mm, 0.0, 10_000.0, "mm")
    return (2.0 + three) / (1.0 + three) * head / 2.0
