"""The beekeeper's world: yards, hives, counts, kits, crews; reading and checking them."""
