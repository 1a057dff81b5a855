"""What is left for the last cuts of turned work, and by how much things may be off; mm."""

from __future__ import annotations

ALLOWANCE = 0.3  # on the radius left for the finishing cuts; common practice, no source
CUTS_TO_SIZE = 3  # equal ones, from what was measured down to the size
SKIM = 0.25  # on the radius of the cut that is measured to set the dial
SKIMMED = 6.0  # along the work, enough for a micrometer
LEAST_SKIMMED = 2.5  # for the edge of its anvils
OFF = 0.4  # by which the bar may be thicker or thinner than it was measured, and still be it
SKIM_AGAIN = 0.1  # on the radius of what was roughed, for a skim after a stop
SPRING = 0.1  # of diameter that a measured size may be off what the dial says
LITTLE_ROOM = 0.15  # with less to either side a diameter is measured before its last cuts
TOUCHED = 0.02  # that touching turning work leaves open; common practice, no source
ALONG = 0.02  # that measuring a length by a vernier leaves open; common practice, no source
MEASURED = 0.005  # on the radius that measuring leaves open
