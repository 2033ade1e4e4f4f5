# SPDX-License-Identifier: GPL-3.0-or-later
"""Compares the outputs of two programs: folders of files of the same names."""
import os, re, sys

NUMBER = re.compile(rb'[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?')


def units_off(a, b):
    """By how many units of the last printed digit two numbers differ; the digits of the longer one."""
    def last(text):
        mantissa, _, exponent = text.lower().partition('e')
        return 10.0 ** (int(exponent or 0) - len(mantissa.partition('.')[2]))
    unit = min(last(a.decode()), last(b.decode()))
    return abs(float(a) - float(b)) / unit


def compare(one, other):
    """Same bytes, or the same but for numbers: the worst of them in last digits; None: neither."""
    if one == other:
        return 0.0, b''
    if NUMBER.sub(b'#', one) != NUMBER.sub(b'#', other):
        return None, b''
    return max(((units_off(a, b), a + b' ' + b) for a, b in zip(NUMBER.findall(one), NUMBER.findall(other))))


one, other, name = sys.argv[1:4]
files = sorted(os.listdir(one))
faults, same, near, worst = [], 0, 0, (0.0, b'', '')
if files != sorted(os.listdir(other)):
    faults.append('not the same files')
for file in files:
    a, b = (open(os.path.join(folder, file), 'rb').read() for folder in (one, other))
    units, what = compare(a, b) if a == b or not file.endswith(('.pdf', '.png')) else (None, b'')
    if units == 0.0:
        same += 1
    elif units is None:
        faults.append(file + ' differs in more than numbers')
    else:
        near += 1
        worst = max(worst, (units, what, file))
        if file.endswith('-text.out'):
            faults.append('%s differs: %s' % (file, what.decode()))
for fault in faults:
    print('reproduce:', name, fault)
print('reproduce: %s: %d outputs the same, %d within %.3g units of the last digit (%s, %s)' %
      (name, same, near, worst[0], worst[2], worst[1].decode()))
sys.exit(bool(faults) or worst[0] > 1.01)
