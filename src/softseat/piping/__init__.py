"""Between those flanges, in that pipe: drilling, bolting, face-to-face, bore clearance, support."""
