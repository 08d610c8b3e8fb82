"""From a review to a lesson: scenes, pauses, hints, narration, and the plan that keeps the teacher's edits."""
