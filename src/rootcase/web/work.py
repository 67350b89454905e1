"""What the app has done in other processes: plain functions of a fieldbook's file, a practice and a property.

They load what they need when they are called: the app itself never loads what computes.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.store.links import Walked
from rootcase.ground.errors import RootcaseError
from rootcase.records.observe import Property
from rootcase.records.people import Bounds
from rootcase.report.casework_json import stage_json
from rootcase.report.text.flags import without_flags
from rootcase.services.kept import make_casework
from rootcase.services.run import Progress, Run
from rootcase.services.sign import Signed, Wanted, sign_property, signed_property
from rootcase.services.what_if import Supposed, suppose
from rootcase.web.elsewhere import Elsewhere

if TYPE_CHECKING:
    from rootcase.fieldbook.intake.importer import ImportResult
    from rootcase.fieldbook.intake.lists.listing import Listing
    from rootcase.services.phone_file import FileTaken


def casework(progress: Progress, at: Elsewhere, property_id: str, run: Run) -> None:
    """Think a property through, and keep that; pages find it on the shelf."""
    with at.opened() as fieldbook:
        make_casework(fieldbook, _ground(fieldbook, property_id), replace(run, progress=progress))


def chain(_: Progress, at: Elsewhere) -> Walked:
    """Walk the chain of the record to its end."""
    with at.opened() as fieldbook:
        return fieldbook.recording.look_on()


def what_if(progress: Progress, at: Elsewhere, property_id: str, run: Run,
            supposed: Supposed) -> bytes:
    """The plan as it would be, as JSON."""
    with at.opened() as fieldbook:
        return stage_json(suppose(fieldbook, _ground(fieldbook, property_id), replace(run, progress=progress),
                                  supposed)[1])


def signed(at: Elsewhere, property_id: str, run: Run) -> bytes:
    """A property's signed plans and what changed under the one that stands, as JSON."""
    with at.opened() as fieldbook:
        return _signed(signed_property(fieldbook, _ground(fieldbook, property_id), run))


def sign(at: Elsewhere, property_id: str, run: Run, wanted: Wanted) -> bytes:
    """Sign a property's plan, and the same."""
    with at.opened() as fieldbook:
        return _signed(sign_property(fieldbook, _ground(fieldbook, property_id), run, wanted))


def import_file(at: Elsewhere, file: Path, said: Mapping[str, str],
                save: bool, by: str) -> tuple[ImportResult | None, Listing | None]:
    """Take in a sheet, or read a list and keep it where that is wanted; where files lie here is told nobody."""
    from rootcase.fieldbook.intake.lists.listing import Given
    from rootcase.fieldbook.intake.lists.told import Told
    from rootcase.services.bring import placed_elsewhere
    from rootcase.services.observe import import_file as take

    with at.opened() as fieldbook:
        try:
            sheet, listing = take(fieldbook.under(by), file, Given(Told(**said), save=save))
        except RootcaseError as error:
            raise placed_elsewhere(error, file, file.name) from None
    return (replace(sheet, rejects_path=None) if sheet else None,
            replace(listing, mapping_path=None, rejects_path=None,
                    told=tuple(map(without_flags, listing.told))) if listing else None)


def take_phone_file(at: Elsewhere, file: Path, within: Bounds) -> FileTaken:
    """Take in what a phone saved."""
    from rootcase.services.phone_file import take_phone_file as take

    with at.opened() as fieldbook:
        return take(fieldbook, file, at.now, within=within)


def _signed(found: Signed) -> bytes:
    return stage_json({"plans": found.plans, "outdated": found.outdated})


def _ground(fieldbook: Fieldbook, property_id: str) -> Property:
    return fieldbook.record(property_id).property
