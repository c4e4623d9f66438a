"""The keyboard as a channel: a trial as a patient, and the therapist's desk of an invented clinic."""
