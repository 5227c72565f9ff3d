package solver

// The compiler that made highs.wasm shortened every name. These are the ones used
// here, for the file whose hash tools/assets holds; they are listed in highs.js of
// the same package, and a test compares.
var exportNames = map[string]string{
	"malloc": "uc", "free": "tc", "table": "sc", "constructors": "v",
	"Highs_create": "F", "Highs_destroy": "G", "Highs_passLp": "U", "Highs_passMip": "V", "Highs_run": "N",
	"Highs_setBoolOptionValue": "ia", "Highs_setIntOptionValue": "ja", "Highs_setDoubleOptionValue": "ka", "Highs_setStringOptionValue": "la",
	"Highs_getIntInfoValue": "Aa", "Highs_getDoubleInfoValue": "Ba", "Highs_getInt64InfoValue": "Ca",
	"Highs_getSolution": "Ea", "Highs_getBasis": "Fa", "Highs_getModelStatus": "Ga",
	"Highs_setBasis": "Sa", "Highs_setSolution": "Va", "Highs_setSparseSolution": "Wa",
	"Highs_clearIntegrality": "ob", "Highs_changeColsBoundsByRange": "ub", "Highs_zeroAllClocks": "$a",
	"Highs_js_setCallback": "A", "Highs_js_getCallbackMipSolutionSize": "B", "Highs_startCallback": "Ya", "Highs_getCallbackDataOutItem": "nc",
}

var importNames = map[string]string{
	"a": "___cxa_throw", "b": "_exit", "c": "_emscripten_get_now", "d": "_fd_close", "e": "___syscall_fcntl64", "f": "_fd_write",
	"g": "_fd_read", "h": "___syscall_ioctl", "i": "___syscall_openat", "j": "_emscripten_date_now", "k": "__abort_js",
	"l": "__setitimer_js", "m": "__tzset_js", "n": "_environ_get", "o": "_environ_sizes_get", "p": "_clock_time_get",
	"q": "_emscripten_resize_heap", "r": "_proc_exit", "s": "__emscripten_runtime_keepalive_clear", "t": "_fd_seek",
}
