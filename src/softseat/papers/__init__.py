"""What leaves the house: offer, questions, datasheets, drawing, bolting, test plan. Takes items, computes nothing."""
