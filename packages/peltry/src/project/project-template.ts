/** A project file with every key explained, ready to be filled in. It runs as it stands. */
export function projectTemplate(): string {
  return TEMPLATE;
}

const TEMPLATE = `# A peltry project: what you wear, what you own, what you want to be.
# Numbers are mm (or what the key's ending says); a text may carry its own unit: "34 1/2 in", "61 cm".
# Lines that begin with # are remarks; take the # away to use a key.
peltry: 1
name: My creature
# note: A line for the first page of the workbook.

wearer:
  age: 30                     # the estimates need an adult: under 17 they refuse
  # estimateFrom: women       # women, men or both: whose survey fills in what you did not measure
  measures:                   # the more you take, the better; two readings of one measure go into [a, b]
    stature: 1720
    hip: 1000
    # weightKg: 70
    # waistNatural: 760       # where a belt settles; waistNavel and waistMid are other waists
    # upperThigh: 580
    # knee: 380
    # calf: 375
    # ankleNarrow: 220
    # insideLeg: 800
    # footLength: 255

fabrics:
  coat:                       # a name of your own; the parts below use it
    name: Coat
    material: faux-fur-medium # an entry of the catalogue: peltry materials find fur
    colour: "#6b5f4e"         # for the pictures
    # pileLengthMm: 25        # measured on your own cloth, these go before the catalogue:
    # stretchAlongPercent: 8  # pull 100 mm along the pile: 108 mm is 8
    # stretchAcrossPercent: 20
    # easeInPercent: 3
    # seamAllowanceMm: 8
    pieces:                   # what you own; leave the list empty to be told what to buy
      - id: main
        widthMm: 1500         # across the pile
        lengthMm: 1500        # along the pile
      # - id: odd-piece       # an odd shape: corners seen from the right side, x to the right, y up
      #   outlineMm: [[0, 0], [700, 0], [650, 500], [0, 450]]
      #   holesMm: [[[300, 200], [340, 200], [320, 240]]]
      #   pileDeg: -90        # where the pile runs: -90 down, 0 to the right, 90 up
      # - id: shop            # cloth off the roll that you could buy
      #   widthMm: 1500
      #   costPerMetre: 24

parts:
  - id: hind-leg
    name: Hind leg
    kind: leg                 # leg, boot-cover, scan, tail, ears, horn, headband, hood or half-mask
    pair: true                # cut a mirrored copy for the other side
    # side: right             # without pair: the leg that it is for; left where left out
    fabrics: { coat: coat }   # region of the form: fabric
    # top: upperThigh         # upperThigh, waistNavel or waistNatural
    # bottom: ankle
    # kneeBendDeg: 10
    # heelLiftMm: 30
    # hemMm: 30
    # pads:                   # lumps of padding; without the key a hind leg that stands on its toes
    #   - { name: haunch, at: { from: knee, to: crotch, share: 0.8 }, angleDeg: 130, heightMm: 60, upMm: 190, downMm: 300, spreadDeg: 150 }
    # girths:                 # or the girths that you want once padded
    #   - { at: calf, girthMm: 480 }
    # patches:                # areas of another fabric
    #   - { id: haunch, at: midThigh, angleDeg: 100, upMm: 120, downMm: 150, spreadDeg: 60 }
    seams:
      lines: [inner-seam, back-line]   # also: outer-seam, front-line
      # extra: suggest        # given (default), or suggest: add what the cloth cannot do without
  # - id: scanned
  #   name: Scanned leg
  #   kind: scan
  #   file: leg.ply           # beside this file
  #   colours: { coat: "#687482", patch: "#e8e4d6" }   # what you painted, region by region
  #   lineColour: "#1a181c"   # the pen
  #   fabrics: { coat: coat, patch: coat }

    # spots:                  # ovals of another fabric; applied, let in or shaved as both piles ask
    #   - { id: dot, up: 0.7, aroundDeg: 100, widthMm: 60, heightMm: 80, fabric: coat }
    # closures:               # a seam left open: snap, zip, hook-and-loop or hook-and-eye, marked on both banks
    #   - { id: side, kind: snap, along: back-line, from: top, lengthMm: 200, spacingMm: 50 }
  # - { id: paw, name: Paw cover, kind: boot-cover, pair: true, zipMm: 90, fabrics: { coat: coat, wall: coat }, cuff: { meets: hind-leg }, tufts: { perGroove: 1 } }
  # - id: tail
  #   name: Tail
  #   kind: tail
  #   style: puff             # cone, curved or puff
  #   lengthMm: 150
  #   stuffing: polyester-fibrefill
  #   band: { widthMm: 40, overlapMm: 60 }
  #   fabrics: { coat: coat, band: coat }
  # - id: ears
  #   name: Ears
  #   kind: ears              # a pair from one
  #   lengthMm: 220
  #   widthMm: 90
  #   cupDepthMm: 20
  #   fabrics: { coat: coat, lining: coat }
  # - id: horns               # a pair from one; spiral: { whorl, distance, translation, turns } in place of lengthMm curls it
  #   name: Horns
  #   kind: horn
  #   baseDiameterMm: 40
  #   lengthMm: 120
  #   bendDeg: 40
  #   fabrics: { skin: coat, bulk: foam, base: board }
  # - id: band
  #   name: Headband
  #   kind: headband
  #   fabrics: { band: coat, lining: coat }
  #   # overlapMm: 40         # and how it closes: closures: [{ id: back, kind: hook-and-loop, along: band/right, to: band/left }]
  #   carries: [{ part: horns, aroundDeg: 25 }, { part: ears, aroundDeg: 65 }]
  # - { id: hood, name: Hood, kind: hood, fabrics: { coat: coat } }
  # - id: mask
  #   name: Half mask
  #   kind: half-mask         # brow to nose, two sight windows; the checks take what is seen from it
  #   window: { widthMm: 46, heightMm: 32 }
  #   # fixing: hood          # elastic (default), or hook-and-loop under the face edge of a hood
  #   fabrics: { coat: coat, lining: coat }

# wearing:                    # the day, for the checks: what is left out comes back as a note
#   airC: 18
#   humidityPercent: 60
#   activity: moderate        # light, moderate, heavy, very heavy
#   shoes: { heelMm: 20, heelBaseMm: 60, tread: across }
#   dressing: { helper: true, onMinutes: 15, offMinutes: 10, outSeconds: 45 }
#   toilet: { minutes: 8, alone: true }
# work: { eveningHours: 2.5, prices: [{ name: Thread, amount: 1, price: [3, 5] }] }
# allowance: { seamMm: 8, hemMm: 30 }
# layout: { gapMm: 4, edgeMm: 5 }
# paper: { sizes: [A4, Letter], overlapMm: 10 }
# glues:
#   - { adhesive: hotmelt-eva-low, joins: [faux-fur-medium, pu-foam-open], where: pads under the fur }
`;
