using System.Globalization;
using CaliperStation.Core.Quantities;
using CaliperStation.Files;

namespace CaliperStation.Devices;

/// <summary>Another program that has a port open. A second reader would take bytes away from the first.</summary>
/// <param name="Process">Its number.</param>
/// <param name="Program">Its short name, escaped.</param>
internal sealed record PortHolder(int Process, string Program)
{
    internal string Words => string.Create(CultureInfo.InvariantCulture, $"{Program} (process {Process})");

    /// <summary>Looks through the processes this user may see; null when none of them holds the node.</summary>
    internal static PortHolder? Of(string node, string procRoot, int ownProcess)
    {
        if (!Directory.Exists(procRoot))
        {
            return null;
        }

        foreach (string folder in Directory.EnumerateDirectories(procRoot))
        {
            if (int.TryParse(Path.GetFileName(folder), NumberStyles.None, CultureInfo.InvariantCulture, out int process)
                && process != ownProcess && Holds(folder, node))
            {
                return new PortHolder(process, NameOf(folder));
            }
        }

        return null;
    }

    private static bool Holds(string folder, string node)
    {
        try
        {
            return new DirectoryInfo(Path.Combine(folder, "fd")).EnumerateFileSystemInfos().Any(fd => fd.LinkTarget == node);
        }
        catch (Exception e) when (FileFault.Is(e))
        {
            return false;   // ended meanwhile, or another user's
        }
    }

    private static string NameOf(string folder)
    {
        try
        {
            string name = PrintableText.Escape(File.ReadAllText(Path.Combine(folder, "comm")).Trim());
            return name.Length > 0 ? name : "another program";
        }
        catch (Exception e) when (FileFault.Is(e))
        {
            return "another program";
        }
    }
}
