
namespace CaliperStation.Screen;

/// <summary>Why the screen was left.</summary>
internal enum ScreenEnd
{
    /// <summary>The program closed it.</summary>
    Closed,

    /// <summary>A stop key.</summary>
    StopKey,

    /// <summary>The system asked for the end: SIGINT, SIGTERM or SIGHUP.</summary>
    Signal,
}
