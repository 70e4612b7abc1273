"""The closed lists of words that a job record may use."""

from typing import Literal

Nation = Literal["England", "Scotland", "Wales", "Northern Ireland"]
Earthing = Literal["TN-C-S", "TN-S", "TT"]
Metal = Literal["copper", "aluminium", "steel"]
Bonded = Literal["water", "gas", "oil", "structural steel", "lightning protection", "other"]
Line = Literal["L1", "L2", "L3", "all"]
Purpose = Literal[
    "lighting", "heating_and_power", "cooking", "instantaneous_water_heating", "thermostatic_water_heating",
    "floor_warming", "storage_heating", "heat_pump", "standard_circuits", "sockets_and_stationary", "ev_charge_point",
]  # fmt: skip
CableKind = Literal[
    "flat_twin_and_earth", "armoured_70c", "armoured_90c", "multicore_70c", "singles_70c", "singles_90c"
]
Method = Literal["A", "B", "C", "D", "E", "F", "100", "101", "102", "103"]
ConductorClass = Literal[1, 2, 5, 6]
Cpc = Literal["core", "armour", "core and armour"]
Arrangement = Literal[
    "bunched", "single_layer_wall_touching", "single_layer_wall_spaced", "perforated_tray_touching"
]
BuriedSpacing = Literal["touching", "one_diameter", "0.125_m", "0.25_m", "0.5_m", "1.0_m"]
OpenPen = Literal["none", "voltage window", "measuring electrode", "star point", "separate device"]
RcdType = Literal["AC", "A", "F", "B"]
DeviceKind = Literal["mcb", "rcbo", "bs88_2", "bs88_3", "bs1361", "bs3036", "bs1362"]
RatingKnownBy = Literal["seen by the operator", "operator's record", "mark on the carrier", "guessed from its look"]
Weekday = Literal["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"]
Days = Literal[
    "every day", "weekdays", "weekend", "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"
]
RandomDelay = Literal["overridden", "at starts", "at every change"]
