"""Where record and judgement meet: each stroke against the lightest argument of the page before it."""
