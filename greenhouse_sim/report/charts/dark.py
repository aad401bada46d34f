"""What each colour of the pictures becomes on a dark page.

Grounds and inks change places. Marks keep their hue and are as far from the dark ground as they
are from the white one, or further; where dark means much, light does.
"""

from __future__ import annotations

GROUND = "ffffff"
DARK = {
    GROUND: "1d2024",
    "000000": "f2f0ea",
    "1a1a1a": "f5f3ee",
    "222222": "eceae4",
    "dddddd": "3a3f46",
    "e9ebf0": "282d35",
    "d9dce3": "414853",
    "c9cfda": "4a5361",
    "999999": "9aa0a8",
    "888888": "a8adb5",
    "a8a29a": "b9b3ab",
    "d8c9a3": "cbbb90",
    "30638e": "7fb3dd",
    "b3430f": "f08a55",
    "7a1fa2": "d399f2",
    "e0a030": "e8b04a",
    "5a8f69": "86c196",
    "6d4a8f": "b39ad0",
    "8d6aa8": "a783c4",
    "2b0845": "ecdcfa",
    "3b0f5c": "f4e6ff",
    "8c2981": "e7a6dd",
    "de4968": "e0607a",
    "fe9f6d": "a8643f",
    "fde3c0": "574535",
}
"""Light to dark, as hexadecimal red, green, blue."""
