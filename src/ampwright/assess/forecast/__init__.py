"""The sunshine forecast: how much of the driving comes from the roof, by minute, over many invented years."""
