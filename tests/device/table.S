/* The table in flash, OFFSET bytes after a multiple of four, and the former one right after it. */
    .section .table, "a"
    .balign 4
    .if OFFSET
    .skip OFFSET
    .endif
    .global table_first, table_end, former_first, former_end
table_first:
    .incbin TABLE
table_end:
former_first:
    .incbin FORMER
former_end:
