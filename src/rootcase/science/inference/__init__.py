"""From draws to answers: fair shares of a loss, and what an observation leaves of the draws."""
