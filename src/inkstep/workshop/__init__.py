"""The verbs of the product, written once for whoever calls: take in, explain, review, plan, publish."""
