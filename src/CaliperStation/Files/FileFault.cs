namespace CaliperStation.Files;

/// <summary>Which exceptions are the disk's or the account's, not the program's: the lists of every <c>catch</c> that turns one into words.</summary>
internal static class FileFault
{
    /// <summary>True where a file of ours could not be read or written.</summary>
    internal static bool Is(Exception e) => e is IOException or UnauthorizedAccessException;

    /// <summary>The same of a file that a user named: the name itself may be none that the system takes.</summary>
    internal static bool IsOfNamed(Exception e) => Is(e) || e is ArgumentException or NotSupportedException;
}
