"""The closed lists of words that specs choose from."""

from __future__ import annotations

CHEMISTRIES = ("nmc", "lfp", "lead")
MOUNTS = ("hub", "mid")
ROTOR_SENSORS = ("hall", "sin-cos", "resolver", "none")
THROTTLE_SIGNALS = ("hall", "pot", "bus")
BUSES = ("can", "uart", "rs485", "none")
INTERLOCKS = ("side-stand", "brake-cutoff", "kill-switch", "charge-inhibit", "tip-over")
SIDES = ("left", "right")
ENDS = ("front", "rear")
FRAME_KINDS = ("cradle", "stressed")
CIRCUITS = ("battery", "phase", "charge", "low-voltage")
ADAPTER_PURPOSES = ("structural", "motor mount", "axle", "bracket")
BRAKE_KINDS = ("disc", "drum")
COOLING = ("air", "forced-air", "liquid")
COOLERS = ("forced-air", "liquid")
