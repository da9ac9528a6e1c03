#include "report/sheet_html.h"

void report_sheet_html(FILE *out, const struct sheet *sheet)
{
    (void)out;
    (void)sheet;
}
