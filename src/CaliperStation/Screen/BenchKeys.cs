
namespace CaliperStation.Screen;

/// <summary>The names of the bench's keys as they are shown; <see cref="KeyMap"/> knows the keys themselves.</summary>
/// <remarks>
/// Every second function key, so that a gloved finger that slips meets a key that does nothing; F9 does nothing unless something is asked. F10 and F11 are left out:
/// many terminals open their menu or fill the screen with them. F13 and above never arrive whole.
/// </remarks>
internal static class BenchKeys
{
    /// <summary>One press; the space bar and F2 (a foot switch that types) do the same.</summary>
    public const string Press = "Enter";

    /// <summary>Take the last reading again; also Ctrl-R.</summary>
    public const string Retake = "F4";

    /// <summary>The advised items were moved; also Ctrl-O.</summary>
    public const string Moved = "F6";

    /// <summary>Go on though not within; asks for the reason in the entry line; also Ctrl-A.</summary>
    public const string Aside = "F8";

    /// <summary>Yes to a question about an odd reading or the coat; also Ctrl-Y, and three presses in a row.</summary>
    public const string Yes = "F9";

    /// <summary>What the keys and marks mean; also a question mark where nothing is typed.</summary>
    public const string Help = "F1";

    /// <summary>Stop and resume later; also Ctrl-C and F12.</summary>
    public const string Stop = "Ctrl-Q";
}
