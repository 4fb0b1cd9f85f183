"""Does a cartridge suit arm and phono stage: data sheets in, answers with intervals out."""
