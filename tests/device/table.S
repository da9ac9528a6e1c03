/* The table in flash, OFFSET bytes behind a multiple of four. */
    .section .table, "a"
    .balign 4
    .if OFFSET
    .skip OFFSET
    .endif
    .global table_first, table_end
table_first:
    .incbin TABLE
table_end:
