"""What is unsent when somebody leaves a phone is sealed to their practice: made on the phone, opened here alone.

A pack is `RCS1`, the id of the practice's key (32 bytes), a point of a key made for this pack (65), a nonce (12), and
the sealed rest: ECDH on P-256 (NIST SP 800-56A rev. 3, section 5.7.1.2) between the two, HKDF with SHA-256 (RFC 5869)
over what they share, salted with both points, AES-256 in Galois counter mode (NIST SP 800-38D) with all that stands
before as its authenticated part (memory of all three). Inside is the length of the contents (4 bytes), the contents as
JSON, and one photo or nothing.
"""

from __future__ import annotations

import json
from base64 import b64decode, b64encode
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from hmac import compare_digest
from hmac import digest as hmac_of
from io import BytesIO
from typing import Any

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.asymmetric.ec import (
    ECDH,
    SECP256R1,
    EllipticCurvePrivateKey,
    EllipticCurvePublicKey,
    generate_private_key,
)
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF
from cryptography.hazmat.primitives.serialization import (
    Encoding,
    NoEncryption,
    PrivateFormat,
    PublicFormat,
    load_der_private_key,
)

from rootcase.fieldbook.fieldbook import Fieldbook
from rootcase.fieldbook.people.phones import phones_of, to_look_through
from rootcase.fieldbook.people.register import person
from rootcase.fieldbook.people.sealing_keys import SealingPair, keep_pair, newest_pair, pair_of
from rootcase.fieldbook.people.tokens import read_moment, written
from rootcase.fieldbook.store import Store
from rootcase.fieldbook.store.sent import Sent
from rootcase.fieldbook.taking_in import TakenIn
from rootcase.ground.errors import ImpossibleValue, Missing, UnreadableValue
from rootcase.ground.words import say
from rootcase.records.people import Bounds
from rootcase.services.people import bounds

MAGIC = b"RCS1"
INFO, PROOF = b"rootcase sealed 1", b"rootcase sealed as 1"
_ID, _POINT, _NONCE, _LENGTH, _KEY = 32, 65, 12, 4, 32
_SENT = tuple(each.name for each in fields(Sent))
_COUNTS_FOR = timedelta(days=90)
"""JUDGEMENT: longer than a phone lies unsent in a season; who has once read a phone does not speak for its people for
ever."""
_NEVER = datetime.min.replace(tzinfo=UTC)
_HEAD = len(MAGIC) + _ID + _POINT + _NONCE


@dataclass(frozen=True, slots=True)
class Opened:
    """What was in a pack."""

    code: str
    """Of who was signed in on the phone when it was sealed; empty where the pack does not prove it."""
    phone: str
    told_at: datetime
    """When the server told the phone whose it is."""
    events: tuple[Sent, ...]
    photo: bytes
    """Empty where there is none."""


@dataclass(frozen=True, slots=True)
class SealedTaken:
    """What became of a pack."""

    generation: str
    events: tuple[TakenIn, ...]
    photos: tuple[str, ...]
    """SHA-256 of each picture that is durable here now."""


def take_sealed(fieldbook: Fieldbook, pack: bytes, sender: Bounds, now: datetime) -> SealedTaken:
    """Take a pack in, as of who sealed it; where that is not proved, or does not count any more, as of who brings it.
    sender: what they may tell."""
    store = fieldbook.store
    opened = open_pack(store, pack)
    within, by = sender, sender.code
    if opened.code and _counts(store, opened, now):
        whose = person(store, opened.code)
        within, by = bounds(whose.code, whose.role, may_sign=whose.may_sign), whose.code
    elif opened.code and sender.code not in ("", opened.code):
        raise ImpossibleValue(say("phones.sealer_gone"), value=opened.code, right=say("phones.who_brings"))
    photos = (fieldbook.photos.keep(BytesIO(opened.photo)),) if opened.photo else ()
    taken = fieldbook.taking_in.take(opened.events, now, within=within, by=by,
                                     to_look_through=to_look_through(phones_of(store), now))
    return SealedTaken(store.generation, taken, photos)


def sealing_pair(store: Store, now: datetime) -> SealingPair:
    """The practice's key; made where there is none yet."""
    found = newest_pair(store)
    if found is None:
        own = generate_private_key(SECP256R1())
        point = _point(own.public_key())
        private = own.private_bytes(Encoding.DER, PrivateFormat.PKCS8, NoEncryption())
        keep_pair(store, SealingPair(sha256(point).hexdigest(), _text(point), _text(private)), now)
        found = newest_pair(store)  # of two that were made at once all give out the same
        assert found is not None
    return found


def sealed_as(pair: SealingPair, practice_id: str, phone_id: str, code: str, now: datetime) -> str:
    """What a phone puts into its packs: the moment, and a mark. Only the server can have told it, and only while this
    person was signed in; it counts for a while, and not for who has left or a phone that is lost."""
    return f"{written(now)} {_mark(pair, practice_id, phone_id, code, written(now))}"


def open_pack(store: Store, pack: bytes) -> Opened:
    """Open what a phone of this practice has sealed."""
    if len(pack) <= _HEAD or not pack.startswith(MAGIC):
        raise UnreadableValue(say("phones.no_pack"), right=say("phones.pack_kept"))
    head, at = pack[:_HEAD], len(MAGIC)
    key_id, point, nonce = head[at:at + _ID], head[at + _ID:at + _ID + _POINT], head[-_NONCE:]
    pair = pair_of(store, key_id.hex())
    if pair is None:
        raise Missing(say("phones.other_key"), value=key_id.hex()[:8], right=say("phones.pack_kept"))
    try:
        plain = AESGCM(_shared(pair, point)).decrypt(nonce, pack[_HEAD:], head)
        size = int.from_bytes(plain[:_LENGTH])
        told = json.loads(plain[_LENGTH:_LENGTH + size])
        return _opened(store, pair, told, plain[_LENGTH + size:])
    except (InvalidTag, ValueError, KeyError, TypeError):
        raise ImpossibleValue(say("phones.pack_broken"), right=say("phones.pack_kept")) from None


def sent_events(events: Iterable[Mapping[str, Any]]) -> tuple[Sent, ...]:
    """Events as a program sends them; what is no text is no event."""
    found = tuple(Sent(**{name: each[name] for name in _SENT if name in each}) for each in events)
    if any(not isinstance(getattr(each, name), str) for each in found for name in _SENT):
        raise TypeError
    return found


def _opened(store: Store, pair: SealingPair, told: dict[str, Any], photo: bytes) -> Opened:
    if told["practice"] != store.practice_id:
        raise ImpossibleValue(say("phones.other_practice"))
    moment, _, mark = str(told["as"]).partition(" ")
    proof = _mark(pair, store.practice_id, told["phone"], told["code"], moment)
    proved = compare_digest(proof.encode(), mark.encode())
    return Opened(told["code"] if proved else "", told["phone"], read_moment(moment) if proved else _NEVER,
                  sent_events(told["events"]), photo)


def _mark(pair: SealingPair, practice_id: str, phone_id: str, code: str, moment: str) -> str:
    key = HKDF(SHA256(), _KEY, None, PROOF).derive(b64decode(pair.private))
    return hmac_of(key, json.dumps([practice_id, phone_id, code, moment]).encode(), "sha256").hex()


def _counts(store: Store, opened: Opened, now: datetime) -> bool:
    """Whether a pack is still taken as of who sealed it."""
    lost = any(each.id == opened.phone and each.lost for each in phones_of(store))
    return not lost and person(store, opened.code).ended is None and now - opened.told_at <= _COUNTS_FOR


def _shared(pair: SealingPair, point: bytes) -> bytes:
    own = load_der_private_key(b64decode(pair.private), None)
    assert isinstance(own, EllipticCurvePrivateKey)
    secret = own.exchange(ECDH(), EllipticCurvePublicKey.from_encoded_point(SECP256R1(), point))
    return HKDF(SHA256(), _KEY, point + b64decode(pair.public), INFO).derive(secret)


def _point(public: EllipticCurvePublicKey) -> bytes:
    return public.public_bytes(Encoding.X962, PublicFormat.UncompressedPoint)


def _text(data: bytes) -> str:
    return b64encode(data).decode("ascii")
