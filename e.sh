to () 
{ 
    n=$(cat $WALK_DIR/fwd);
    F $(( $(date -u -d "2026-12-01 $1" +%s) - $(date -u +%s) - n ))
}
