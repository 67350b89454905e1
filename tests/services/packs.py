"""A phone's half of sealing, in Python: what seal.js does, for tests that need no browser."""

from __future__ import annotations

import json
from base64 import b64decode
from typing import Any

from cryptography.hazmat.primitives.asymmetric.ec import (
    ECDH,
    SECP256R1,
    EllipticCurvePublicKey,
    derive_private_key,
)
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat

from rootcase.fieldbook.people.sealing_keys import SealingPair

NONCE = bytes(range(12))


def sealed(pair: SealingPair, told: dict[str, Any], photo: bytes = b"", chance: int = 7) -> bytes:
    """A pack as a phone makes it."""
    theirs = b64decode(pair.public)
    own = derive_private_key(chance, SECP256R1())
    point = own.public_key().public_bytes(Encoding.X962, PublicFormat.UncompressedPoint)
    secret = own.exchange(ECDH(), EllipticCurvePublicKey.from_encoded_point(SECP256R1(), theirs))
    key = HKDF(SHA256(), 32, point + theirs, b"rootcase sealed 1").derive(secret)
    head = b"RCS1" + bytes.fromhex(pair.id) + point + NONCE
    text = json.dumps(told).encode()
    return head + AESGCM(key).encrypt(NONCE, len(text).to_bytes(4) + text + photo, head)
