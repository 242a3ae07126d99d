namespace CaliperStation.Core.Frames;

/// <summary>Why a line is no value: constant sentences, so that decoding allocates nothing and nothing of the wire reaches the screen.</summary>
internal static class AsciiReasons
{
    internal const string NoGrammar = "the line fits no known form";
    internal const string NoPoint = "a number without a decimal point is not a reading";
    internal const string NoUnit = "the line names no unit and none is set for this caliper";
    internal const string TooManyDigits = "the number has more digits than an instrument shows";
    internal const string OtherGrammar = "the line has another form than the one set for this caliper";
    internal const string NotMeasuredType = "the line's type letters do not say that it is a measured value";
    internal const string TooLong = "the line is longer than any known form";
    internal const string CutBySilence = "the line broke off";
    internal const string RestOfCutLine = "the line before broke off and this may be its rest";
    internal const string BeforeFirstLine = "this came before the first whole line after opening";

    internal const string InstrumentError = "the instrument reports an error";
    internal const string SensorError = "the instrument reports a sensor error: moved too fast or too far from the scale";
    internal const string CommandError = "the instrument did not understand a command";
    internal const string ParityError = "the instrument received a parity error: check the line settings";
    internal const string RangeError = "the instrument reports that its range is exceeded";
    internal const string FeatureOff = "the instrument says that this feature is switched off";
    internal const string Timeout = "the instrument's box reports that the caliper did not answer";
    internal const string BoxCommunication = "the instrument's box cannot talk to the caliper";
    internal const string BoxReading = "the instrument's box could not read the caliper";
    internal const string Overflow = "the instrument's counter has overflowed: zero it again";
    internal const string Overload = "the instrument reports an overload";
    internal const string BridgeError = "the bridge reports an error";

    internal const string Pedal = "the pedal was pressed";
    internal const string Echo = "the instrument echoed a command";
    internal const string Reply = "the instrument acknowledged a command";
    internal const string Identification = "the instrument told its name";
}
