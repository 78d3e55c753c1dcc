"""From readings to parameters: what is true about a shop and wall that were only guessed."""
