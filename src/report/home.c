#include "report/home.h"

const char report_home[] = ROTORTAB_HOME_PAGE;
