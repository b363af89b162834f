#include "field/cli/run.h"

int main(int argc, char** argv)
{
    return field::cli::run(argc, argv);
}
