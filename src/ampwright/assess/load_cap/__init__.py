"""The load cap: what to set, why it holds, and an honest attempt to break it."""
