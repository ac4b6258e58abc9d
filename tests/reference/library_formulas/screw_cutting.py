"""A second reckoning of library/functions/screw_cutting.job."""

def train_ratio(lead, leadscrew):
    return 1 / (leadscrew / lead)


def pitch_cut(leadscrew, drivers, driven):
    return drivers / driven * leadscrew


def pitch_error(got, wanted, length):
    turns = length / wanted
    return turns * got - turns * wanted
