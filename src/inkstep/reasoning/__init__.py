"""Why a set of facts follows from a page: techniques, effort, the lightest argument, and its proof."""
