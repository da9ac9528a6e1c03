meta:
  id: rotor_table
  title: Rotor table of rotortab, format version 1
  file-extension: rotor
  license: MIT
  ks-version: "0.11"
  encoding: UTF-8
  endian: le
doc: |
  A rotor table says how a field device turns the rotors of engines from blade to blade.
  rotor-table(5) describes it in words. Records refer to each other by index, from 0 within their
  section. A range is a first index and a number of records.

  This language cannot express some rules of the format. The header's CRC-32/ISO-HDLC is over header
  and directory, with the CRC's own bytes as zero. The trailer's CRC is over everything from the
  directory's end to the trailer. All indices and ranges are within their sections. The ranges of
  engines, and those of the links of pads, begin where those of the record before end.
seq:
  - id: header
    type: header
  - id: header_more
    size: header.size - 32
    doc: Bytes that a newer writer appended to the header.
  - id: directory
    type: entry
    size: header.entry_stride
    repeat: expr
    repeat-expr: header.num_sections
    doc: Kinds rise strictly, and the kinds 1 to 12 are there. So kind k is entry k - 1.
instances:
  text_pool:
    pos: directory[11].offset
    size: directory[11].num_records
    type: text_pool
  trailer:
    pos: header.length - 4
    type: u4
    doc: CRC of everything from the directory's end to the trailer.

types:
  header:
    seq:
      - id: magic
        contents: [0x8e, 0x52, 0x54, 0x42, 0x0d, 0x0a, 0x1a, 0x0a]
      - id: version
        type: u2
        valid:
          min: 1
      - id: oldest_reader
        type: u2
        valid:
          min: 1
          max: version
        doc: Oldest reader's version that may read the table, 1 to the version.
      - id: length
        type: u4
        doc: Length of the whole table, with the trailer.
      - id: size
        type: u2
        valid:
          min: 32
        doc: Size of the header. The directory begins there.
      - id: num_sections
        type: u2
      - id: entry_stride
        type: u2
        valid:
          min: 16
      - id: reserved
        contents: [0, 0, 0, 0, 0, 0]
      - id: crc
        type: u4
        doc: CRC of header and directory, with these four bytes as zero.

  entry:
    seq:
      - id: kind
        type: u4
        enum: section
      - id: offset
        type: u4
        doc: Offset of the section's first byte from the table's first byte.
      - id: num_records
        type: u4
      - id: stride
        type: u2
        valid:
          min: 1
      - id: reserved
        contents: [0, 0]
    instances:
      records:
        io: _root._io
        pos: offset
        size: stride
        repeat: expr
        repeat-expr: num_records
        if: kind != section::texts
        type:
          switch-on: kind
          cases:
            'section::device': device
            'section::names': name
            'section::engines': engine
            'section::spools': spool
            'section::stages': stage
            'section::ports': port
            'section::pads': pad
            'section::meshes': mesh
            'section::schedules': schedule
            'section::links': link
            'section::datums': datum
            'section::known_blades': known_blade
            'section::signature': signature
        doc: A record may be longer than its type. The records of an unknown kind are bytes.

  text_pool:
    seq:
      - id: bytes
        size-eos: true
        doc: NUL-terminated texts. The first text is empty.

  text:
    seq:
      - id: reference
        type: u4
        doc: Offset within the section of texts.
    instances:
      value:
        io: _root.text_pool._io
        pos: reference
        type: strz

  fraction:
    seq:
      - id: num
        type: u8
      - id: den
        type: u8

  small_fraction:
    seq:
      - id: num
        type: u4
        valid:
          min: 1
      - id: den
        type: u4
        valid:
          min: 1

  device:
    doc: Device profile that the table was compiled for.
    seq:
      - id: id
        type: text
      - id: name
        type: text
      - id: torque_resolution
        type: small_fraction
      - id: speed_resolution
        type: small_fraction
      - id: torque_min
        type: u4
        valid:
          min: 1
        doc: Least torque. All torques and speeds are multiples of the resolution.
      - id: torque_max
        type: u4
      - id: speed_min
        type: u4
        valid:
          min: 1
      - id: speed_max
        type: u4
      - id: stepping
        type: u1
        enum: stepping
        valid:
          in-enum: true
      - id: positive
        type: u1
        enum: sense
        valid:
          in-enum: true
        doc: Sense of the shaft, facing the pad, as the device's count rises.
      - id: counter_bits
        type: u1
        valid:
          min: 8
          max: 64
      - id: square
        type: u1
        enum: square
        valid:
          in-enum: true
      - id: torque_unit
        type: u1
        enum: torque_unit
        valid:
          in-enum: true
      - id: speed_unit
        type: u1
        enum: speed_unit
        valid:
          in-enum: true
      - id: reserved
        contents: [0, 0]
      - id: counts
        type: fraction
        doc: Counts per turn of the device's shaft.
      - id: digest
        size: 32
        doc: SHA-256 of the profile's bytes, CR LF taken as LF.

  name:
    doc: Designation of an engine. Designations rise strictly by their bytes, and have at most 255.
    seq:
      - id: text
        type: text
      - id: engine
        type: u4

  engine:
    seq:
      - id: id
        type: text
      - id: name
        type: text
      - id: revision
        type: u4
      - id: first_spool
        type: u4
      - id: first_stage
        type: u4
      - id: first_pad
        type: u4
      - id: num_spools
        type: u2
      - id: num_stages
        type: u2
      - id: num_pads
        type: u2
      - id: status
        type: u1
        enum: status
        valid:
          in-enum: true
      - id: reserved
        contents: [0]
      - id: digest
        size: 32
        doc: SHA-256 of the definition's bytes, CR LF taken as LF.

  spool:
    seq:
      - id: id
        type: text
      - id: rotation
        type: u1
        enum: sense
        valid:
          in-enum: true
        doc: Normal rotation in service, aft looking forward.
      - id: never_backwards
        type: u1
        valid:
          max: 1
      - id: reserved
        contents: [0, 0]

  stage:
    seq:
      - id: id
        type: text
      - id: spool
        type: u4
      - id: blade_one
        type: text
        doc: Text on how to know blade one.
      - id: first_port
        type: u4
      - id: clocking
        type: fraction
        doc: |
          Degrees from the spool's datum mark to blade one in the normal direction. It is 0/0 if the
          clocking is not known.
      - id: blades
        type: u2
        valid:
          min: 1
      - id: num_ports
        type: u2
      - id: role
        type: u1
        enum: role
        valid:
          in-enum: true
      - id: numbering
        type: u1
        enum: numbering
        valid:
          in-enum: true
      - id: reserved
        contents: [0, 0]

  port:
    seq:
      - id: id
        type: text
      - id: clock
        type: u2
        valid:
          max: 719
        doc: Place, in minutes of a clock's face past 12:00, aft looking forward.
      - id: reserved
        contents: [0, 0]

  pad:
    doc: Drive pad. Counts are the device's. Torque and speed are limits at the device's shaft.
    seq:
      - id: id
        type: text
      - id: spool
        type: u4
      - id: first_mesh
        type: u4
        doc: First mesh of the path, pad side first.
      - id: first_adapter_mesh
        type: u4
        doc: First mesh of the adapter, device side first.
      - id: first_link
        type: u4
      - id: backlash
        type: u4
        doc: Backlash in counts, or 0xffffffff if it is not known.
      - id: torque
        type: u4
        doc: Most torque, in the device's resolutions.
      - id: speed
        type: u4
        doc: Most speed, in the device's resolutions.
      - id: recheck
        type: u4
        doc: Rotor turns until blade one must be found again, 0 for never.
      - id: num_meshes
        type: u2
      - id: num_adapter_meshes
        type: u2
      - id: num_links
        type: u2
      - id: faces
        type: u1
        enum: direction
        valid:
          in-enum: true
      - id: rotation
        type: u1
        enum: sense
        valid:
          in-enum: true
        doc: Sense of the pad, facing it, as the spool turns in its normal direction.
      - id: drives
        type: u1
        enum: sense
        valid:
          in-enum: true
        doc: Senses in which the pad can be driven, facing it.
      - id: positive
        type: u1
        enum: positive
        valid:
          in-enum: true
        doc: Way that the spool turns as the device's count rises.
      - id: square
        type: u1
        enum: square
        valid:
          in-enum: true
        doc: Driving square that the device couples to.
      - id: own_square
        type: u1
        enum: square
        valid:
          in-enum: true
        doc: Driving square of the pad itself.
      - id: counts_per_rotor_turn
        type: fraction
      - id: turns_lo
        type: fraction
        doc: Lowest pad turns per rotor turn.
      - id: turns_hi
        type: fraction
        doc: Highest pad turns per rotor turn, equal to the lowest if the ratio is exact.
      - id: adapter
        type: fraction
        doc: Device turns per pad turn through the adapter, 0/0 without an adapter.

  mesh:
    seq:
      - id: kind
        type: u1
        enum: mesh_kind
        valid:
          in-enum: true
      - id: member_in
        type: u1
        enum: member
        valid:
          in-enum: true
        doc: |
          Member on the pad's side, of an epicyclic only. In an adapter the pad's side means the
          device's side, and the rotor's side means the pad's side.
      - id: member_out
        type: u1
        enum: member
        valid:
          in-enum: true
      - id: member_held
        type: u1
        enum: member
        valid:
          in-enum: true
      - id: back_a
        type: u1
        enum: direction
        valid:
          in-enum: true
        doc: Direction that the back of a bevel pair's first gear faces.
      - id: back_b
        type: u1
        enum: direction
        valid:
          in-enum: true
      - id: teeth_a
        type: u2
        doc: Teeth on the pad's side, or of the sun.
      - id: teeth_b
        type: u2
        doc: Teeth on the rotor's side, or of the ring.
      - id: teeth_c
        type: u2
        doc: Teeth of a planet, of an epicyclic only, else 0.
      - id: planets
        type: u2
        doc: Number of planets, of an epicyclic only, else 0.

  schedule:
    doc: From stop to stop there are whole + num / den counts.
    seq:
      - id: whole
        type: u4
        valid:
          min: 1
      - id: num
        type: u4
      - id: den
        type: u4
        valid:
          min: num + 1
          max: 0x80000000

  link:
    doc: Stage that a pad turns.
    seq:
      - id: stage
        type: u4
      - id: schedule
        type: u4
      - id: first_datum
        type: u4
      - id: num_datums
        type: u2
        doc: Number of the stage's ports, or 0 if its clocking is not known.
      - id: order
        type: u1
        enum: order
        valid:
          in-enum: true
      - id: reserved
        contents: [0]

  datum:
    seq:
      - id: count
        type: u4
        valid:
          max: 0x40000000
        doc: Count from the datum mark at 12 o'clock, at which blade one is at the port.

  known_blade:
    doc: |
      Blade besides blade one that can be recognised. Known blades rise strictly by their stages,
      and within a stage by their numbers. The section is optional.
    seq:
      - id: stage
        type: u4
      - id: how
        type: text
        doc: Text on how to recognise it.
      - id: blade
        type: u2
        valid:
          min: 2
      - id: reserved
        contents: [0, 0]

  signature:
    seq:
      - id: ed25519
        size: 64
        doc: Signature of all bytes before this section.

enums:
  section:
    1: device
    2: names
    3: engines
    4: spools
    5: stages
    6: ports
    7: pads
    8: meshes
    9: schedules
    10: links
    11: datums
    12: texts
    13: known_blades
    0xffff: signature
  sense:
    1: cw
    2: ccw
    3: both
  direction:
    0: unknown
    1: aft
    2: forward
    3: up
    4: down
    5: left
    6: right
  square:
    0: none
    1: quarter_inch
    2: three_eighths_inch
    3: half_inch
    4: three_quarters_inch
    5: one_inch
  torque_unit:
    1: newton_metre
    2: pound_force_foot
    3: pound_force_inch
    4: kilogram_force_metre
  speed_unit:
    1: rpm
    2: degrees_per_minute
    3: degrees_per_second
  stepping:
    1: scheduled
    2: fixed
  status:
    1: draft
    2: released
  role:
    1: fan
    2: compressor
    3: turbine
  numbering:
    1: against_rotation
    2: with_rotation
  order:
    1: rising
    2: falling
  positive:
    1: normal
    2: reverse
  mesh_kind:
    1: external
    2: internal
    3: bevel
    4: epicyclic
    5: direct
  member:
    0: none
    1: sun
    2: ring
    3: carrier
